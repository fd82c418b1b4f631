/** What is sent to the service for a case: all of it each time, because the service keeps nothing. */

/** @import {Case, Step} from "./types.js" */

/**
 * @param {Case} subject
 * @param {number} count  how many of its steps to send
 * @returns {object} the body of a diagnosis request
 */
export function requestOf(subject, count = subject.steps.length) {
  const steps = subject.steps.slice(0, count);
  return {
    ...place(subject),
    symptoms: subject.noticed.filter((it) => it.kept).map((it) => ({ id: it.id, part: it.part })),
    told: subject.told.filter((it) => it.kept).map((it) => it.id),
    findings: steps.flatMap(finding),
    repaired: steps.flatMap(repaired),
    ...present(subject),
  };
}

/** @param {Case} subject @returns {object} who is there, where somebody said so */
function present(subject) {
  return { ...(subject.crew ? { crew: subject.crew } : {}), ...(subject.remote ? { remote: true } : {}) };
}

/**
 * @param {Case} subject
 * @param {string} text
 * @returns {object} the body that asks what a text means
 */
export function questionOf(subject, text) {
  return { ...place(subject), text };
}

/** @param {Case} subject */
function place(subject) {
  return { site: subject.site, at: subject.at, events: subject.commands };
}

/** @param {Step} step */
function finding(step) {
  if (step.kind !== "answer") return [];
  const found = { check: step.check, part: step.part, outcome: step.outcome };
  return [step.certainty ? { ...found, certainty: step.certainty } : found];
}

/** @param {Step} step */
function repaired(step) {
  return step.kind === "repair" ? [{ cause: step.cause, part: step.part }] : [];
}
