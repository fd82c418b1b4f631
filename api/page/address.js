/** Where in the flow the page is, as the part of the address behind `#`, so that Back and reload find it again. */

/** @import {Address, Case} from "./types.js" */

const FORM = /^#\/([a-z]+)(?:\/(\d{1,3}))?(?:\/(.+))?$/;
const COUNTED = new Set(["causes", "check", "repair", "done"]);
const PLAIN = new Set(["site", "symptom", "list", "confirm", "kept"]);

/**
 * @param {string} hash
 * @returns {Address} what the hash says; the first step when it says nothing that is known
 */
export function readAddress(hash) {
  const found = FORM.exec(hash);
  const step = found?.[1] ?? "";
  if (COUNTED.has(step)) return { step, count: Number(found?.[2] ?? 0), check: unescaped(found?.[3]) };
  return { step: PLAIN.has(step) ? step : "site", count: 0, check: null };
}

/** @param {string|undefined} text @returns {string|null} nothing when it is spoilt */
function unescaped(text) {
  try {
    return text ? decodeURIComponent(text) : null;
  } catch (error) {
    if (error instanceof URIError) return null;
    throw error;
  }
}

/**
 * @param {string} step
 * @param {number} [count]  steps that stand before it
 * @param {string} [check]
 * @returns {string} the hash of a place in the flow
 */
export function addressOf(step, count, check) {
  const parts = [step, ...(count === undefined ? [] : [String(count)]), ...(check ? [encodeURIComponent(check)] : [])];
  return `#/${parts.join("/")}`;
}

/**
 * @param {Address} wanted
 * @param {Case} subject
 * @returns {Address} the place asked for, or the last one that this case has come to
 */
export function reachable(wanted, subject) {
  if (wanted.step === "site" || wanted.step === "kept") return wanted;
  if (subject.siteName === null) return { step: "site", count: 0, check: null };
  if (wanted.step === "symptom" || wanted.step === "list") return wanted;
  const isHeard = subject.noticed.length > 0 || subject.unrecognised !== null || subject.sayInstead !== null;
  if (!isHeard) return { step: "symptom", count: 0, check: null };
  if (wanted.step === "confirm" || subject.noticed.every((it) => !it.kept)) return { step: "confirm", count: 0, check: null };
  if (wanted.step === "done" && subject.proved === null) return { ...wanted, step: "causes" };
  return { ...wanted, count: Math.min(wanted.count, subject.steps.length) };
}
