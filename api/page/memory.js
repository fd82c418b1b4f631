/** Keeps the case in this tab, so that a reload loses nothing, and the last one on this phone, so that a closed tab does not. */

import { SHAPE, newCase } from "./case.js";

/** @import {Case} from "./types.js" */

const NAME = "ventsleuth.case";
const PLACE = "ventsleuth.place";

/** @returns {Case} the case of this tab, or a new one */
export function recall() {
  return readFrom(() => sessionStorage) ?? newCase();
}

/** @returns {Case|null} the case that was last worked on in any tab of this phone and is not proved yet */
export function lastLeft() {
  const last = readFrom(() => localStorage);
  return last && last.noticed.length > 0 && last.proved === null ? last : null;
}

/** @param {Case} subject */
export function remember(subject) {
  writeTo(() => sessionStorage, subject);
  if (subject.noticed.length > 0) writeTo(() => localStorage, subject);
}

/** Note the place in the flow, for when the page is opened anew after signing in. */
export function leavePlace() {
  try {
    sessionStorage.setItem(PLACE, location.hash);
  } catch (error) {
    if (!(error instanceof DOMException)) throw error; // barred: the case is found again by hand
  }
}

/** @returns {string|null} the place that was left, once */
export function takeUpPlace() {
  try {
    const left = sessionStorage.getItem(PLACE);
    sessionStorage.removeItem(PLACE);
    return left;
  } catch (error) {
    if (error instanceof DOMException) return null;
    throw error;
  }
}

/** @param {() => Storage} place @returns {Case|null} */
function readFrom(place) {
  try {
    const kept = JSON.parse(place().getItem(NAME) ?? "null");
    return kept?.shape === SHAPE ? kept : null;
  } catch (error) {
    if (error instanceof DOMException || error instanceof SyntaxError) return null; // storage is barred or was spoilt
    throw error;
  }
}

/** @param {() => Storage} place @param {Case} subject */
function writeTo(place, subject) {
  try {
    place().setItem(NAME, JSON.stringify(subject));
  } catch (error) {
    if (!(error instanceof DOMException)) throw error; // barred or full: the case then lives until the tab is closed
  }
}
