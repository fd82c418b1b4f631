/** The case as a value: how each thing the technician does changes it. Nothing here touches the screen or the network. */

import { t } from "./language.js";
import { newKey } from "./offline/keys.js";
import { plain } from "./say.js";

/** @import {Case, Certainty, Check, Crew, Diagnosis, Repair, Step, Symptom} from "./types.js" */

export const SHAPE = 2;
const DECLINED = new Set(["cannot", "not-sure"]);

/** @returns {Case} a case of which nothing is known */
export function newCase() {
  return {
    shape: SHAPE,
    site: null,
    siteName: null,
    at: null,
    atChosen: false,
    heardAt: null,
    text: "",
    unrecognised: null,
    sayInstead: null,
    reading: null,
    left: [],
    acknowledged: [],
    noticed: [],
    told: [],
    commands: [],
    notes: [],
    steps: [],
    proved: null,
    record: null,
  };
}

/**
 * @param {Case} before
 * @param {string|null} id
 * @param {string} name
 * @returns {Case} the case at this site; what hung on another site's parts is dropped
 */
export function atSite(before, id, name) {
  if (before.siteName === name && before.site === id) return before;
  return { ...newCase(), at: before.atChosen ? before.at : null, atChosen: before.atChosen, text: before.text, site: id, siteName: name };
}

/**
 * @param {Case} before
 * @param {string} text
 * @param {Diagnosis} answer
 * @returns {Case} the case with what the service understood of the text
 */
export function understood(before, text, answer) {
  return {
    ...before,
    text,
    unrecognised: answer.unrecognised,
    sayInstead: answer.say_instead,
    noticed: answer.symptoms.map(noticed),
    reading: answer.understood,
    left: [],
    told: answer.told.map((id) => ({ id, name: toldName(id, answer), kept: true })),
    commands: merged(before.commands, answer.understood?.events ?? []),
    steps: [],
    proved: null,
  };
}

/**
 * @param {Case} before
 * @param {string[]} left  words to leave out
 * @param {Diagnosis} answer  to the rest of the text
 * @returns {Case} the case as the rest was understood; its chips stay, so that what was left out can be taken up again
 */
export function withoutWords(before, left, answer) {
  const commands = { ...before, commands: before.commands.filter((it) => !wasSaid(before, it)) };
  const after = understood(commands, before.text, answer);
  const reading = after.reading && before.reading && { ...after.reading, chips: before.reading.chips };
  return { ...after, left, reading };
}

/**
 * @param {Case} before
 * @param {string} text  with one reading in place of another
 * @param {Diagnosis} answer  to that text
 * @returns {Case} the case as if that text had been typed
 */
export function saidAnew(before, text, answer) {
  return understood({ ...before, commands: before.commands.filter((it) => !wasSaid(before, it)) }, text, answer);
}

/** @param {Case} subject @param {Case["commands"][0]} command */
function wasSaid(subject, command) {
  return (subject.reading?.events ?? []).some((it) => JSON.stringify(it) === JSON.stringify(command));
}

/**
 * @param {Case} before
 * @param {Symptom} symptom
 * @returns {Case} the case with one more symptom, chosen from the list
 */
export function choose(before, symptom) {
  const others = before.noticed.filter((it) => it.id !== symptom.id);
  return { ...before, unrecognised: null, sayInstead: null, noticed: [...others, noticed(symptom)], steps: [], proved: null };
}

/**
 * @param {Case} before
 * @param {Diagnosis} answer
 * @param {number} phone  this phone's clock in milliseconds
 * @returns {Case} the case with the time it is about held fast, so that "12 minutes ago" stays the same moment
 */
export function pinned(before, answer, phone) {
  if (before.at !== null || answer.at === null) return before;
  return { ...before, at: answer.at, heardAt: phone };
}

/**
 * @param {Case} before
 * @param {number} count  how many steps stand before this one
 * @param {Step} step
 * @returns {Case} the case with this step in place of what came after
 */
export function stepped(before, count, step) {
  return { ...before, steps: [...before.steps.slice(0, count), step], proved: null };
}

/**
 * @param {Check} check
 * @param {string} outcome
 * @param {string} said
 * @param {Certainty} [certainty]
 * @returns {Step} an answer as a step
 */
export function answered(check, outcome, said, certainty = "sure") {
  const isSure = certainty === "sure" || DECLINED.has(outcome);
  const step = { kind: /** @type {const} */ ("answer"), name: newKey(), check: check.check, part: check.part, outcome, asked: named(check) };
  return isSure ? { ...step, said } : { ...step, certainty, said: t("{answer} (think so)", { answer: said }) };
}

/**
 * @param {Case} before
 * @param {Crew|null} crew  nothing for a full crew in daylight
 * @param {boolean} remote  whether only a lay person is there
 * @returns {Case} the case with who is there
 */
export function withCrew(before, crew, remote) {
  return { ...before, crew, remote };
}

/**
 * @param {Repair} repair
 * @returns {Step} a repair that did not help, as a step
 */
export function tried(repair) {
  return { kind: "repair", name: newKey(), cause: repair.cause, part: repair.part, asked: named(repair), said: t("Repaired; still there") };
}

/**
 * @param {Check} check
 * @returns {string} a name for the check at its part that is the same each time
 */
export function keyOf(check) {
  return check.part === null ? check.check : `${check.check}@${check.part}`;
}

/**
 * @param {Diagnosis} answer
 * @param {string|null} wanted  key of the check asked for
 * @param {Step|undefined} given  the step that was made here, when somebody came back
 * @returns {Check|undefined} the check to show
 */
export function checkToShow(answer, wanted, given) {
  const key = wanted ?? (given?.kind === "answer" ? keyOf(/** @type {any} */ (given)) : null);
  return answer.next.find((it) => keyOf(it) === key) ?? answer.next[0];
}

/** @param {string} id @param {Diagnosis} answer */
function toldName(id, answer) {
  return answer.understood?.told?.find((it) => it.id === id)?.name ?? plain(id);
}

/** @param {{name: string, where: string, part_kind?: string}} it */
function named(it) {
  return it.where && it.part_kind !== "site" ? `${it.name}, ${it.where}` : it.name;
}

/** @param {Symptom} it */
function noticed(it) {
  return { id: it.id, name: it.name, about: it.about, part: it.part ?? null, kept: true };
}

/** @param {Case["commands"]} kept @param {Case["commands"]} more */
function merged(kept, more) {
  const known = new Set(kept.map((it) => JSON.stringify([it.at, it.command, it.part])));
  return [...kept, ...more.filter((it) => !known.has(JSON.stringify([it.at, it.command, it.part])))];
}
