/** Choose the next checks exactly as the service does: most bits about the cause for the minutes they take. */

import { rounded, rowsAt } from "./weigh.js";

/** @import {CheckWords, Opened, Question, Weight} from "./types.js" */

/** @typedef {{place: number, bits: number, minutes: number, walk: number}} Choice */

/**
 * @param {Opened} opened
 * @param {Weight} weight
 * @param {Pick<Question, "remote"|"crew">} there  who is there
 * @returns {Choice[]} the checks worth making, best first
 */
export function choices(opened, weight, there = {}) {
  const { numbers } = opened.words;
  const done = new Set(opened.chapter.known);
  const names = opened.chapter.options.map((number) => nameOf(opened, number));
  for (const [check, part] of weight.answered) done.add(names.indexOf(`${check}@${part}`));
  const start = standingAt(opened, weight);
  const found = opened.chapter.options.map((number, place) => {
    const [check, , where] = opened.pack.checks_at[number];
    const walk = walkMinutes(opened, start, where);
    return { place, bits: bitsOf(opened, place, weight.probabilities), walk, minutes: numbers.answer_minutes + opened.words.checks[check].minutes + walk };
  });
  const rate = (/** @type {Choice} */ it) => rounded(it.bits / it.minutes);
  return found
    .sort((one, other) => rate(other) - rate(one) || one.place - other.place)
    .filter((it) => it.bits >= numbers.least_bits && !done.has(it.place) && canMake(opened, there, opened.pack.checks_at[opened.chapter.options[it.place]][0]))
    .slice(0, numbers.shown_checks);
}

/** @param {Opened} opened @param {Pick<Question, "remote"|"crew">} there @param {string} name @returns {boolean} whether those who are there may make the check */
function canMake(opened, there, name) {
  const { numbers, checks } = opened.words;
  const check = checks[name];
  if (there.remote) return check.lay;
  if (!there.crew) return true;
  const { competences, alone, without, dark } = there.crew;
  const has = (/** @type {string[]} */ hazards) => check.hazards.some((it) => hazards.includes(it));
  if ((dark && has(numbers.out_in_the_open)) || (alone && has(numbers.for_two))) return false;
  return (competences?.includes(check.competence) ?? true) && !check.tools.some((it) => without?.includes(it));
}

/** @param {Opened} opened @param {number} number */
function nameOf(opened, number) {
  const [check, part] = opened.pack.checks_at[number];
  return `${check}@${opened.pack.parts[part][0]}`;
}

/**
 * The expected fall of the entropy over hypotheses: the mutual information of outcome and hypothesis.
 *
 * @param {Opened} opened
 * @param {number} place  of the option
 * @param {number[]} probabilities
 * @returns {number}
 */
export function bitsOf(opened, place, probabilities) {
  const rows = rowsAt(opened.chapter, place).map((row) => opened.pack.rows[row]);
  const outcomes = rows[0].map((_, column) => rows.reduce((sum, row, hypothesis) => sum + probabilities[hypothesis] * row[column], 0));
  const doubt = rows.reduce((sum, row, hypothesis) => sum + probabilities[hypothesis] * entropy(row), 0);
  return Math.max(0, entropy(outcomes) - doubt);
}

/** @param {number[]} chances @returns {number} bits */
function entropy(chances) {
  return -chances.reduce((sum, chance) => (chance > 0 ? sum + chance * Math.log2(chance) : sum), 0);
}

/** @param {Opened} opened @param {Weight} weight @returns {string|null} where the last check that has a place was made */
function standingAt(opened, weight) {
  const places = new Map(opened.chapter.options.map((number) => [nameOf(opened, number), opened.pack.checks_at[number][2]]));
  const walked = weight.answered.map(([check, part]) => places.get(`${check}@${part}`) ?? null);
  return walked.reverse().find((place) => place) ?? null;
}

/** @param {Opened} opened @param {string|null} start @param {string|null} end */
function walkMinutes(opened, start, end) {
  if (end === null || start === end) return 0;
  if (start === null) return opened.words.numbers.taken_minutes;
  const { ids, walk_minutes } = opened.pack.places;
  return walk_minutes[ids.indexOf(start)][ids.indexOf(end)];
}
