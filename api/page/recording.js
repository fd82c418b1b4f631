/** Write down what is done in a case, so that the service has it once there is a signal. */

import { languageNow } from "./language.js";
import { newKey } from "./offline/keys.js";
import { noted, queue } from "./offline/outbox.js";
import { NoRoom } from "./offline/store.js";
import { requestOf } from "./request.js";

const MOST_LETTERS = 4000;

/** @import {Case, Repair, Step} from "./types.js" */

/**
 * @param {Case} subject  as it is confirmed
 * @returns {Promise<Case>} the case with its name on this phone and what was last told of it
 */
export async function recordOpening(subject) {
  const { findings, repaired, crew, remote, ...opening } = /** @type {any} */ (requestOf(subject, 0));
  const told = JSON.stringify(opening);
  if (subject.record?.told === told) return subject;
  const { symptoms, told: circumstances, events } = opening;
  if (subject.record) {
    const { id, first } = subject.record;
    if (first) await takeBack(id, first, "the answers so far"); // they were about what was noticed before
    await put({ record: id, what: "events", steps: [], takesBack: null, says: "What was noticed", body: { events: [{ kind: "understood", noted_at: noted(), symptoms, told: circumstances, events }] } });
    return { ...subject, record: { id, told, first: null } };
  }
  const record = newKey();
  const text = subject.text ? { text: subject.text.slice(0, MOST_LETTERS) } : {};
  const body = { ...opening, ...text, language: languageNow() };
  await put({ record, what: "open", steps: [], takesBack: null, says: `Case at ${subject.siteName}`, body });
  const opened = { ...subject, record: { id: record, told, first: null } };
  if (crew || remote) await recordCrew(opened);
  return opened;
}

/**
 * @param {Case} subject  before the step
 * @param {number} count  steps that stand before it
 * @param {Step} step
 * @returns {Promise<Case["record"]>} the record that the case then has
 */
export async function recordStep(subject, count, step) {
  if (!subject.record) return null;
  await recordUndo(subject, count);
  const event = step.kind === "answer" ? { kind: "answer", check: step.check, part: step.part, outcome: step.outcome, ...(step.certainty ? { certainty: step.certainty } : {}) } : { kind: "repair", cause: step.cause, part: step.part, helped: false };
  await put({ record: subject.record.id, what: "events", steps: [step.name], takesBack: null, says: `${step.asked}: ${step.said}`, body: { events: [{ ...event, noted_at: noted() }] } });
  return count === 0 ? { ...subject.record, first: step.name } : subject.record;
}

/**
 * @param {Case} subject
 * @param {number} count  steps that stay
 * @returns {Promise<void>} takes back the step after those, and all that followed it
 */
export async function recordUndo(subject, count) {
  const gone = subject.steps[count];
  if (!subject.record || !gone) return;
  await takeBack(subject.record.id, gone.name, gone.asked);
}

/** @param {string} record @param {string} step @param {string} asked */
function takeBack(record, step, asked) {
  return put({ record, what: "events", steps: [], takesBack: step, says: `Taken back: ${asked}`, body: { events: [{ kind: "took-back", seq: 1, noted_at: noted() }] } });
}

/** @param {Case} subject @param {Repair} repair @returns {Promise<void>} */
export async function recordProof(subject, repair) {
  if (!subject.record) return;
  const { cause, part } = repair;
  const events = [
    { kind: "cause-confirmed", cause, part },
    { kind: "repair", cause, part, helped: true },
    ...repair.proof.map((what) => ({ kind: "proof", what, passed: true })),
    { kind: "closed", outcome: "repaired" },
  ];
  await put({ record: subject.record.id, what: "events", steps: [], takesBack: null, says: `Proved: ${repair.name}`, body: { events: events.map((it) => ({ ...it, noted_at: noted() })) } });
}

/** @param {Case} subject @param {string} text @returns {Promise<void>} */
export async function recordNote(subject, text) {
  if (!subject.record) return;
  await put({ record: subject.record.id, what: "events", steps: [], takesBack: null, says: `Note: ${text}`, body: { events: [{ kind: "note", text, noted_at: noted() }] } });
}

/** @param {Case} subject @param {File} file @returns {Promise<void>} */
export async function recordPhoto(subject, file) {
  if (!subject.record) return;
  await put({ record: subject.record.id, what: "file", steps: [], takesBack: null, says: `Photo: ${file.name}`, body: file });
}

/** @param {Case} subject @returns {Promise<void>} tells who is there now */
export async function recordCrew(subject) {
  if (!subject.record) return;
  const events = [
    { kind: "crew", ...(subject.crew ?? {}) },
    { kind: "remote-mode", on: subject.remote === true },
  ];
  await put({ record: subject.record.id, what: "events", steps: [], takesBack: null, says: "Who is there", body: { events: events.map((it) => ({ ...it, noted_at: noted() })) } });
}

/** @param {Case} subject @param {string} note @returns {Promise<void>} */
export async function recordHandOver(subject, note) {
  if (!subject.record) return;
  const event = { kind: "hand-over", to: "helpdesk", ...(note ? { note: note.slice(0, MOST_LETTERS) } : {}), noted_at: noted() };
  await put({ record: subject.record.id, what: "events", steps: [], takesBack: null, says: "Handed over to the helpdesk", body: { events: [event] } });
}

/** @type {(says: string) => void} */
let complain = () => {};

/** @param {(says: string) => void} listener  told when something cannot be kept */
export function onNotKept(listener) {
  complain = listener;
}

/** @param {Parameters<typeof queue>[0]} thing */
async function put(thing) {
  try {
    await queue(thing);
  } catch (error) {
    if (!(error instanceof NoRoom)) throw error;
    complain("This phone is full. The case goes on here, but this step is not written down for the service. Free some space, and note it by hand.");
  }
}
