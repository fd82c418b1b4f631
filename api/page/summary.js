/** The case in a few lines, to read out, to share or to copy into the site's records. */

import { clockOf, dayOf } from "./clock.js";
import { t } from "./language.js";
import { sentence } from "./say.js";

/** @import {Case} from "./types.js" */

/** @param {Case} subject @returns {[title: string, lines: string[]][]} only what there is something to say about */
export function summaryOf(subject) {
  const sections = /** @type {[string, string[]][]} */ ([
    [t("Site"), [subject.siteName ?? ""]],
    [t("When"), [subject.at ? t("{clock} on {day}", { clock: clockOf(subject.at), day: dayOf(subject.at) }) : ""]],
    [t("Said"), [subject.text]],
    [t("Symptom"), subject.noticed.filter((it) => it.kept).map((it) => it.name)],
    [t("Found"), subject.steps.map((it) => `${it.asked}: ${it.said}`)],
    [t("Notes"), subject.notes],
    [t("Cause"), [subject.proved ? `${subject.proved.name}. ${sentence(subject.proved.where)}.` : ""]],
    [t("Proved by"), subject.proved?.proof ?? []],
  ]);
  return sections.map(([title, lines]) => /** @type {[string, string[]]} */ ([title, lines.filter(Boolean)])).filter(([, lines]) => lines.length > 0);
}

/** @param {Case} subject @param {string} leading  what leads while nothing is proved @returns {[title: string, lines: string[]][]} */
export function summaryWith(subject, leading) {
  const more = leading && subject.proved === null ? [/** @type {[string, string[]]} */ ([t("Leading now"), [leading]])] : [];
  return [...summaryOf(subject), ...more];
}

/** @param {Case} subject @param {string} leading  what leads while nothing is proved @returns {string} */
export function summaryText(subject, leading = "") {
  return summaryWith(subject, leading).map(([title, lines]) => (lines.length === 1 ? `${title}: ${lines[0]}` : `${title}:\n${lines.map((it) => `- ${it}`).join("\n")}`)).join("\n");
}
