/** Keeps the case in this tab, so that a reload loses nothing. */

import { SHAPE, newCase } from "./case.js";

/** @import {Case} from "./types.js" */

const NAME = "ventsleuth.case";

/** @returns {Case} the case of this tab, or a new one */
export function recall() {
  try {
    const kept = JSON.parse(sessionStorage.getItem(NAME) ?? "null");
    return kept?.shape === SHAPE ? kept : newCase();
  } catch (error) {
    if (error instanceof DOMException || error instanceof SyntaxError) return newCase(); // storage is barred or was spoilt
    throw error;
  }
}

/** @param {Case} subject */
export function remember(subject) {
  try {
    sessionStorage.setItem(NAME, JSON.stringify(subject));
  } catch (error) {
    if (!(error instanceof DOMException)) throw error; // barred or full: the case then lives until the tab is closed
  }
}
