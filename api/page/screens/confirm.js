/** Show what was understood and let it be put right, part by part. */

import { addressOf } from "../address.js";
import { button, link, make } from "../elements.js";
import { t } from "../language.js";
import { lastMoved } from "../last_moved.js";
import { partChooser } from "../part_chooser.js";
import { reading } from "../reading.js";
import { recordOpening } from "../recording.js";
import { site } from "../known.js";
import { trying } from "../trouble.js";

/** @import {Context, View} from "../context.js" */
/** @import {Case, Noticed, Part} from "../types.js" */

/** @param {Context} context @returns {Promise<View>} */
export async function confirm(context) {
  const subject = context.subject();
  if (subject.noticed.length === 0) return notUnderstood(context, subject);
  const parts = subject.site === null ? [] : (await context.fetch(site(subject.site))).parts;
  const wrong = make("div");
  return {
    title: t("Is this what you mean?"),
    body: [quote(subject), leftOver(subject), symptomChoices(context, parts), toldChoices(context), ...reading(context, wrong, () => context.replace(addressOf("confirm"))), lastMoved(context, () => {}), otherWords(), wrong].filter((it) => it !== null),
    actions: [button(t("Yes, find the cause"), () => void goOn(context, wrong), "main")],
  };
}

function otherWords() {
  return make("div", { class: "pair" }, link(t("Say it in other words"), addressOf("symptom")), link(t("Add from the list"), addressOf("list")));
}

/** @param {Context} context @param {HTMLElement} wrong */
function goOn(context, wrong) {
  if (context.subject().noticed.every((it) => !it.kept)) {
    wrong.replaceChildren(make("p", { class: "error", role: "alert" }, t("Keep at least one of these, or say it in other words.")));
    return wrong.scrollIntoView({ block: "center" });
  }
  return trying(context, wrong, async () => {
    await context.diagnose(context.subject(), 0);
    context.change(await recordOpening(context.subject()));
    context.go(addressOf("causes", 0));
  });
}

/** @param {Context} context @param {Case} subject @returns {View} */
function notUnderstood(context, subject) {
  const wrong = make("div");
  return {
    title: t("That was not understood"),
    body: [
      quote(subject),
      ...(subject.left.length ? reading(context, wrong, () => context.replace(addressOf("confirm"))) : []),
      wrong,
      make("p", {}, subject.sayInstead ?? t("Say what should move and what it does instead, such as: left window does not open.")),
      make("p", { class: "soft" }, t("We keep these words to improve this.")),
    ].filter((it) => it !== null),
    actions: [link(t("Choose from the list"), addressOf("list")), link(t("Say it in other words"), addressOf("symptom"), "button main")],
  };
}

/** @param {Case} subject */
function quote(subject) {
  return subject.text ? make("p", {}, t("You said: "), make("q", {}, subject.text)) : null;
}

/** @param {Case} subject */
function leftOver(subject) {
  if (!subject.unrecognised) return null;
  return make("div", { class: "notice" }, make("p", {}, t("Not understood: "), make("q", {}, subject.unrecognised)), subject.sayInstead && make("p", {}, subject.sayInstead));
}

/** @param {Context} context @param {Part[]} parts */
function symptomChoices(context, parts) {
  const noticed = context.subject().noticed;
  return make("section", { class: "stack" }, make("h2", {}, noticed.length > 1 ? t("Keep what fits") : t("The symptom")), noticed.map((it) => symptomChoice(context, it, parts)));
}

/** @param {Context} context @param {Noticed} it @param {Part[]} parts */
function symptomChoice(context, it, parts) {
  const set = (/** @type {Partial<Noticed>} */ change) => {
    const before = context.subject();
    context.change({ ...before, noticed: before.noticed.map((other) => (other.id === it.id ? { ...other, ...change } : other)), steps: [], proved: null });
  };
  const chooser = partChooser(it, parts, context.subject().reading?.asks ?? [], (part) => set({ part }));
  if (chooser) chooser.hidden = !it.kept;
  const tick = tickBox(it.name, it.kept, (kept) => {
    set({ kept });
    if (chooser) chooser.hidden = !kept;
  });
  return make("div", { class: "stack" }, tick, chooser);
}

/** @param {Context} context */
function toldChoices(context) {
  const told = context.subject().told;
  if (told.length === 0) return null;
  const set = (/** @type {string} */ id, /** @type {boolean} */ kept) => {
    const before = context.subject();
    context.change({ ...before, told: before.told.map((it) => (it.id === id ? { ...it, kept } : it)), steps: [], proved: null });
  };
  return make("section", { class: "stack" }, make("h2", {}, t("You also said")), told.map((it) => tickBox(it.name, it.kept, (kept) => set(it.id, kept))));
}

/** @param {string} text @param {boolean} isOn @param {(isOn: boolean) => void} set */
function tickBox(text, isOn, set) {
  const box = /** @type {HTMLInputElement} */ (make("input", { type: "checkbox", checked: isOn }));
  box.addEventListener("change", () => set(box.checked));
  return make("label", { class: "choice" }, box, make("span", {}, text));
}
