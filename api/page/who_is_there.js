/** Say who is there and what they have with them: only what they may do is offered then. */

import { withCrew } from "./case.js";
import { button, fold, make } from "./elements.js";
import { t } from "./language.js";
import { recordCrew } from "./recording.js";
import { competenceWord, sentence } from "./say.js";
import { trying } from "./trouble.js";

/** @import {Context} from "./context.js" */
/** @import {Case, Crew, Diagnosis} from "./types.js" */

const LEVELS = ["ordinary", "instructed", "skilled", "fire"];

/** @param {Context} context @param {Diagnosis} answer @param {() => void} again  shows the screen anew @returns {HTMLElement} */
export function whoIsThere(context, answer, again) {
  const subject = context.subject();
  const wrong = make("div");
  const { form, read } = entry(subject, answer);
  const use = () => trying(context, wrong, async () => {
    const { crew, remote } = read();
    context.change(withCrew(context.subject(), crew, remote));
    await recordCrew(context.subject());
    again();
  });
  return fold(t("Who is there: {who}. Change", { who: inWords(subject) }), [...form, wrong, button(t("Use this"), () => void use(), "main")]);
}

/** @param {Case} subject @returns {string} */
function inWords(subject) {
  if (subject.remote) return t("a caretaker or user on the telephone");
  if (!subject.crew) return t("everybody needed, in daylight");
  const { competences, alone, dark, without } = subject.crew;
  const highest = LEVELS.filter((it) => competences.includes(it)).at(-1) ?? "ordinary";
  return [competenceWord(highest), alone && t("alone"), dark && t("in the dark"), without.length > 0 && t("without {tools}", { tools: without.join(", ") })].filter(Boolean).join(", ");
}

/** @param {Case} subject @param {Diagnosis} answer @returns {{form: Node[], read: () => {crew: Crew|null, remote: boolean}}} */
function entry(subject, answer) {
  const crew = subject.crew ?? { competences: LEVELS, alone: false, without: [], dark: false };
  const highest = LEVELS.filter((it) => crew.competences.includes(it)).at(-1);
  const levels = LEVELS.map((it) => tick("radio", it, sentence(competenceWord(it)), it === highest));
  const alone = tick("checkbox", "alone", t("Nobody else is there to stand by"), crew.alone);
  const dark = tick("checkbox", "dark", t("It is dark"), crew.dark);
  const remote = tick("checkbox", "remote", t("Only a caretaker or user is there, guided by telephone"), subject.remote === true);
  const tools = [...new Set([...answer.next.flatMap((it) => it.tools), ...crew.without])].sort();
  const missing = tools.map((it) => tick("checkbox", it, sentence(it), crew.without.includes(it)));
  const read = () => {
    const level = levels.findIndex((it) => it.box.checked);
    const said = { competences: LEVELS.slice(0, level + 1), alone: alone.box.checked, without: missing.filter((it) => it.box.checked).map((it) => it.box.value), dark: dark.box.checked };
    const isFull = level === LEVELS.length - 1 && !said.alone && !said.dark && said.without.length === 0;
    return { crew: isFull ? null : said, remote: remote.box.checked };
  };
  const form = [
    remote.row,
    make("fieldset", { class: "stack" }, make("legend", {}, t("Most qualified person here")), levels.map((it) => it.row)),
    alone.row,
    dark.row,
    ...(missing.length ? [make("fieldset", { class: "stack" }, make("legend", {}, t("Missing today")), missing.map((it) => it.row))] : []),
  ];
  return { form, read };
}

/** @param {"radio"|"checkbox"} type @param {string} value @param {string} text @param {boolean} checked */
function tick(type, value, text, checked) {
  const box = /** @type {HTMLInputElement} */ (make("input", { type, value, checked, name: type === "radio" ? "most" : null }));
  return { box, row: make("label", { class: "choice" }, box, make("span", {}, text)) };
}
