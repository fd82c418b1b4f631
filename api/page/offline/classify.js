/** Turn an answer, an outcome or a typed reading, into one of the check's outcomes. */

import { NotAReading, readValue } from "./reading.js";

/** @import {Reading, Words} from "./types.js" */

const CHOOSE = "Choose one of the answers.";
const ALWAYS = ["cannot", "not-sure"];

/**
 * @param {Words} words
 * @param {string} check
 * @param {string} answer
 * @param {Record<string, number>} limits  borders of outcomes that were worked out for the part
 * @returns {string} the id of an outcome; throws NotAReading with words for the person who typed it
 */
export function outcomeOf(words, check, answer, limits) {
  const { outcomes, reading } = words.checks[check];
  if (ALWAYS.includes(answer) || outcomes.some(([id]) => id === answer)) return answer;
  if (reading === null) throw new NotAReading(CHOOSE);
  return banded(reading, readingOf(words, reading, answer.trim(), limits), limits);
}

/** @param {Words} words @param {Reading} reading @param {string} answer @param {Record<string, number>} limits */
function readingOf(words, reading, answer, limits) {
  try {
    return valueOf(words, reading, answer, limits);
  } catch (error) {
    if (error instanceof NotAReading && !/\d/.test(answer)) throw new NotAReading(CHOOSE); // a word that is no reading either
    throw error;
  }
}

/** @param {Words} words @param {Reading} reading @param {string} answer @param {Record<string, number>} limits */
function valueOf(words, reading, answer, limits) {
  if (reading.unit === "count") return countOf(reading, answer);
  const [name, factor] = words.units[reading.unit];
  const highest = Math.min(reading.highest, limits[words.numbers.reading_highest] ?? reading.highest);
  const lowest = Math.max(reading.lowest, -highest);
  const typed = /^[+-]?\d+([.,]\d+)?$/.test(answer) ? `${answer} ${reading.unit}` : answer;
  return readValue(words.quantities, typed, name, lowest * factor, highest * factor) / factor;
}

/** @param {Reading} reading @param {string} answer */
function countOf(reading, answer) {
  if (!/^\d+$/.test(answer) || Number(answer) < reading.lowest || Number(answer) > reading.highest) {
    throw new NotAReading(`“${answer}” is not a count from ${reading.lowest} to ${reading.highest}.`);
  }
  return Number(answer);
}

/** @param {Reading} reading @param {number} value @param {Record<string, number>} limits */
function banded(reading, value, limits) {
  for (const band of reading.bands) {
    const limit = limitOf(band, limits);
    if (limit === null || value < limit) return band.outcome;
  }
  return reading.bands[reading.bands.length - 1].outcome;
}

/** @param {Reading["bands"][0]} band @param {Record<string, number>} limits @returns {number|null} nothing for the last band */
function limitOf(band, limits) {
  if (typeof band.below !== "string") return band.below;
  const limit = limits[band.below] ?? band.below_else;
  if (limit === null || limit === undefined) {
    throw new NotAReading("The site description does not say what is right here; choose the outcome that fits.");
  }
  return limit;
}
