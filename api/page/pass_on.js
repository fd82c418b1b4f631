/** Write a note, add a photo, share the case as text, or hand it over to the helpdesk. */

import { button, fold, make } from "./elements.js";
import { t } from "./language.js";
import { printSummary } from "./paper.js";
import { recordHandOver, recordNote, recordPhoto } from "./recording.js";
import { share } from "./share.js";
import { summaryText, summaryWith } from "./summary.js";
import { trying } from "./trouble.js";

/** @import {Context} from "./context.js" */

const MOST_LETTERS = 1000;

/** @param {Context} context @param {string} leading  the cause that leads, in words @returns {HTMLElement} */
export function passOn(context, leading) {
  const says = make("div", { "aria-live": "polite" });
  return fold(t("Note, photo, hand over"), [
    noteEntry(context, says),
    photoEntry(context, says),
    make("div", { class: "pair" }, button(t("Share as text"), () => void share(summaryText(context.subject(), leading), says)), button(t("Print or save as PDF"), () => printSummary(t("The case so far"), summaryWith(context.subject(), leading)))),
    button(t("Hand over to the helpdesk"), () => void handOver(context, says, leading)),
    says,
  ]);
}

/** @param {Context} context @param {HTMLElement} says */
function noteEntry(context, says) {
  const box = /** @type {HTMLTextAreaElement} */ (make("textarea", { id: "note", rows: 2, maxlength: MOST_LETTERS }));
  const keep = () => trying(context, says, async () => {
    const text = box.value.trim();
    if (text === "") return box.focus();
    const before = context.subject();
    context.change({ ...before, notes: [...before.notes, text] });
    await recordNote(before, text);
    box.value = "";
    says.replaceChildren(make("p", {}, t("Noted: {text}", { text })));
  });
  return make("div", { class: "field stack" }, make("label", { for: "note" }, t("Note")), box, button(t("Save the note"), () => void keep()));
}

/** @param {Context} context @param {HTMLElement} says */
function photoEntry(context, says) {
  const input = /** @type {HTMLInputElement} */ (make("input", { id: "photo", type: "file", accept: "image/jpeg,image/png,image/webp", capture: "environment" }));
  input.addEventListener("change", () => {
    const file = input.files?.[0];
    if (!file) return;
    void recordPhoto(context.subject(), file).then(() => {
      input.value = "";
      says.replaceChildren(make("p", {}, t("The photo is kept with the case.")));
    });
  });
  return make("div", { class: "field" }, make("label", { for: "photo" }, t("Photo")), input);
}

/** @param {Context} context @param {HTMLElement} says @param {string} leading */
function handOver(context, says, leading) {
  return trying(context, says, async () => {
    const subject = context.subject();
    await recordHandOver(subject, summaryText(subject, leading));
    says.replaceChildren(make("p", {}, t("Handed over. The helpdesk sees the case as soon as it is sent.")));
  });
}
