/** Find, in what this phone holds, the opened case that a question is about. */

import { NotCovered } from "./covered.js";

/** @import {Chapter, Opened, Pack, PackCase, Question, Words} from "./types.js" */

const MINUTE_MS = 60_000;

/**
 * @param {Words} words
 * @param {Pack} pack  of this very case
 * @returns {Opened}
 */
export function ofCase(words, pack) {
  return { words, pack, chapter: pack.chapters[0], since: null, resumes: pack.resumes_at ?? null };
}

/**
 * @param {Words} words
 * @param {Pack} pack  of a site
 * @param {Question} question
 * @returns {Opened} throws NotCovered when the pack holds no such case
 */
export function ofSite(words, pack, question) {
  if (question.symptoms.length > 1) throw new NotCovered("Without a signal one symptom at a time can be followed. Keep the one that troubles most.");
  if (question.told.length > 0) throw new NotCovered("Without a signal circumstances cannot be weighed. Take the ticks under “You also said” away, or wait for a signal.");
  const manual = lastManual(question);
  const [symptom] = question.symptoms;
  const found = pack.cases?.find((it) => it.symptom === symptom?.id && it.part === (symptom.part ?? null));
  if (!found) throw new NotCovered("This phone holds nothing on that symptom at that part. Choose another part, or “Not sure”.");
  const chapter = pack.chapters[chapterOf(found, manual, question.at)];
  const resumes = manual && question.at ? resumesAt(chapter, manual, question.at) : null;
  return { words, pack, chapter, since: manual, resumes };
}

/** @param {Question} question @returns {string|null} the time of the last manual command up to the time asked about */
function lastManual(question) {
  if (question.events.some((it) => it.command !== "manual" || it.part !== null)) {
    throw new NotCovered("Without a signal only the last time it was moved by hand can be weighed.");
  }
  const times = question.events.map((it) => it.at).filter((at) => question.at === null || at <= question.at);
  return times.sort().at(-1) ?? null;
}

/** @param {PackCase} found @param {string|null} manual @param {string|null} at */
function chapterOf(found, manual, at) {
  if (manual === null || at === null) return found.chapter;
  const ago = minutesBetween(manual, at);
  return found.by_hand.filter(([from]) => from <= ago).at(-1)?.[1] ?? found.chapter;
}

/**
 * @param {Chapter} chapter
 * @param {string} manual
 * @param {string} at
 * @returns {string|null} when automatic works again, in the service's form of a time
 */
function resumesAt(chapter, manual, at) {
  const holding = chapter.hold_offs.filter((minutes) => minutesBetween(manual, at) < minutes);
  if (holding.length === 0) return null;
  return new Date(Date.parse(`${manual}Z`) + Math.max(...holding) * MINUTE_MS).toISOString().slice(0, 19);
}

/** @param {string} start @param {string} end */
function minutesBetween(start, end) {
  return (Date.parse(`${end}Z`) - Date.parse(`${start}Z`)) / MINUTE_MS;
}

/**
 * @param {Opened} opened
 * @param {string} text
 * @returns {string} the text with the times of this case where it leaves room for them
 */
export function timed(opened, text) {
  return text.replace("{since}", opened.since?.slice(11, 16) ?? "").replace("{resumes}", opened.resumes?.slice(11, 16) ?? "");
}
