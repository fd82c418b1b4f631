/** Show how typed words were read, as chips: what was read wrong is left out with one tap and the rest read anew. */

import { pinned, saidAnew, withoutWords } from "./case.js";
import { button, make } from "./elements.js";
import { t } from "./language.js";
import { questionOf } from "./request.js";
import { sentence } from "./say.js";
import { trying } from "./trouble.js";

/** @import {Context} from "./context.js" */
/** @import {Chip} from "./types.js" */

const MOST_OFFERED = 3;

/** @param {Context} context @param {HTMLElement} wrong  where troubles are shown @param {() => void} again @returns {HTMLElement[]} */
export function reading(context, wrong, again) {
  const subject = context.subject();
  if (subject.reading === null) return [];
  const { chips, corrections, note } = subject.reading;
  const slips = corrections.map((it) => make("p", { class: "soft" }, t("Taken for a slip: "), make("q", {}, it.typed), t(" read as "), make("q", {}, it.taken_for), "."));
  return [
    ...(note ? [make("p", { class: "notice" }, note)] : []),
    ...slips,
    ...(chips.length ? [chipRow(context, chips, wrong, again)] : []),
  ];
}

/** @param {Context} context @param {Chip[]} chips @param {HTMLElement} wrong @param {() => void} again */
function chipRow(context, chips, wrong, again) {
  const left = new Set(context.subject().left);
  const rows = chips.map((it) => {
    const isLeft = left.has(it.words);
    const toggle = () => void trying(context, wrong, () => readAnew(context, it.words, again));
    const role = make("span", { class: "remark" }, t(sentence(it.role)));
    const says = it.words.toLowerCase() === it.meaning.toLowerCase() ? `“${it.words}”` : `“${it.words}”: ${it.meaning}`;
    const chip = make("button", { type: "button", class: "chip", "aria-pressed": isLeft ? "false" : "true", onclick: toggle }, says, isLeft ? make("span", { class: "remark" }, t("Left out")) : role);
    return make("li", {}, chip, isLeft ? null : otherReadings(context, it, wrong, again));
  });
  const hasOthers = chips.some((it) => it.alternatives?.length);
  const hint = make("p", { class: "soft" }, hasOthers ? t("Tap what was read wrong to leave it out, or tap what you meant below it.") : t("Tap what was read wrong to leave it out."));
  return make("section", { class: "stack" }, make("h2", {}, t("How your words were read")), hint, make("ul", { class: "plain chips" }, rows));
}

/** @param {Context} context @param {Chip} chip @param {HTMLElement} wrong @param {() => void} again */
function otherReadings(context, chip, wrong, again) {
  const others = (chip.alternatives ?? []).slice(0, MOST_OFFERED);
  if (others.length === 0) return null;
  const choose = (/** @type {string} */ text) => void trying(context, wrong, async () => {
    const before = context.subject();
    const answer = await context.ask(questionOf(before, text));
    context.change(pinned(saidAnew(before, text, answer), answer, Date.now()));
    again();
  });
  const choices = others.map((it) => button(it.meaning, () => choose(it.text), "other"));
  return make("div", { class: "others-meant", role: "group", "aria-label": t("Instead of “{words}”", { words: chip.words }) }, make("span", { class: "soft" }, t("or:")), choices);
}

/** @param {Context} context @param {string} words @param {() => void} again */
async function readAnew(context, words, again) {
  const before = context.subject();
  const left = before.left.includes(words) ? before.left.filter((it) => it !== words) : [...before.left, words];
  const answer = await context.ask(questionOf(before, shortened(before.text, left)));
  context.change(withoutWords(before, left, answer));
  again();
}

/** @param {string} text @param {string[]} left @returns {string} the text without these words */
export function shortened(text, left) {
  return left.reduce((rest, words) => rest.replace(words, " "), text).trim() || "?";
}
