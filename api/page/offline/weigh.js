/** Weigh findings on hypotheses exactly as the service does: Bayes over single faults. */

import { outcomeOf } from "./classify.js";
import { NotCovered } from "./covered.js";

/** @import {Chapter, Finding, Opened, Weight} from "./types.js" */

const SCALE = 1e9; // digits that count in an order, so that the last bits of a sum cannot change it
const LANES = 8;
const NO_OUTCOME = new Set(["cannot", "not-sure"]);

/**
 * @param {Opened} opened
 * @param {{cause: string, part: string|null}[]} repaired  repairs that did not help
 * @returns {number[]} the weight of each hypothesis before any finding
 */
export function weightsOf(opened, repaired) {
  const { numbers } = opened.words;
  const rest = opened.chapter.hypotheses.findIndex(([cause]) => cause === "something-else");
  const weights = opened.chapter.hypotheses.map(([cause, part, weight]) => {
    const isTried = wasTried(cause, opened.pack.parts[part][0], repaired);
    return isTried ? weight * numbers.repaired_in_vain : weight;
  });
  if (repaired.length === 0 || rest < 0) return weights;
  const total = weights.reduce((sum, weight, place) => (place === rest ? sum : sum + weight), 0) || 1;
  weights[rest] = (total * numbers.else_share) / (1 - numbers.else_share);
  return weights;
}

/** @param {string} cause @param {string} part @param {{cause: string, part: string|null}[]} repaired */
function wasTried(cause, part, repaired) {
  return repaired.some((it) => it.cause === cause && ((it.part ?? "site") === part || ((it.part ?? "site") === "site" && part.startsWith("?"))));
}

/** @param {number[]} weights @returns {number[]} the weights scaled so that they sum to one */
export function scaled(weights) {
  const total = summed(weights);
  return weights.map((it) => it / total);
}

/**
 * Sums in the order in which the service's arithmetic does, eight at a time, so that ties fall the same way.
 *
 * @param {number[]} values  at most 128
 */
function summed(values) {
  const whole = values.length - (values.length % LANES);
  if (whole === 0) return values.reduce((sum, it) => sum + it, 0);
  const lanes = values.slice(0, LANES);
  for (let at = LANES; at < whole; at += 1) lanes[at % LANES] += values[at];
  const [a, b, c, d, e, f, g, h] = lanes;
  return values.slice(whole).reduce((sum, it) => sum + it, a + b + (c + d) + (e + f + (g + h)));
}

/**
 * @param {Opened} opened
 * @param {Finding[]} findings
 * @param {{cause: string, part: string|null}[]} repaired
 * @returns {Weight} the posterior after all findings, what each did, and the checks that were answered
 */
export function weigh(opened, findings, repaired) {
  /** @type {Weight} */
  const weight = { probabilities: scaled(weightsOf(opened, repaired)), weighed: [], answered: [] };
  for (const finding of latest(findings)) {
    const place = placeOf(opened, finding, weight.probabilities);
    const [check, part, , , limits] = opened.pack.checks_at[opened.chapter.options[place]];
    const at = opened.pack.parts[part][0];
    weight.answered.push([check, at]);
    const outcome = outcomeOf(opened.words, check, finding.outcome, limits);
    if (NO_OUTCOME.has(outcome)) continue;
    const column = opened.words.checks[check].outcomes.findIndex(([id]) => id === outcome);
    const rows = rowsAt(opened.chapter, place).map((row) => opened.pack.rows[row]);
    const chances = rows.map((row) => softened(row[column], certaintyOf(opened, finding), row.length));
    const expected = chances.reduce((sum, chance, hypothesis) => sum + chance * weight.probabilities[hypothesis], 0);
    weight.weighed.push({ finding: { ...finding, outcome }, part: at, chances, expected });
    weight.probabilities = scaled(scaled(weight.probabilities.map((it, hypothesis) => it * chances[hypothesis])));
  }
  return weight;
}

/** @param {Finding[]} findings @returns {Finding[]} without those that a later look at the same part took back */
function latest(findings) {
  const told = (/** @type {Finding} */ it) => it.part !== null && !NO_OUTCOME.has(it.outcome);
  const last = new Map(findings.filter(told).map((it) => [`${it.check}@${it.part}`, it]));
  return findings.filter((it) => it.part === null || (last.get(`${it.check}@${it.part}`) ?? it) === it);
}

/** @param {Opened} opened @param {Finding} finding @returns {number} how far the answer is taken */
function certaintyOf(opened, finding) {
  return finding.certainty === "think-so" ? opened.words.numbers.think_so : typeof finding.certainty === "number" ? finding.certainty : 1;
}

/** @param {number} chance @param {number} certainty @param {number} outcomes @returns {number} the chance of an answer somebody is only so sure of */
function softened(chance, certainty, outcomes) {
  return certainty >= 1 ? chance : certainty * chance + (1 - certainty) / outcomes;
}

/**
 * @param {Chapter} chapter
 * @param {number} place
 * @returns {number[]} for each hypothesis the row of chances of the option at that place
 */
export function rowsAt(chapter, place) {
  const [usual, ...others] = chapter.rows[place];
  const rows = chapter.hypotheses.map(() => usual);
  for (let at = 0; at < others.length; at += 2) rows[others[at]] = others[at + 1];
  return rows;
}

/**
 * Where the check was made: as said, else at the part it is offered for that is likeliest at fault; stand-ins come
 * before parts with a name, which somebody who means them would have named.
 *
 * @param {Opened} opened
 * @param {Finding} finding
 * @param {number[]} probabilities
 * @returns {number} the place among the options
 */
function placeOf(opened, finding, probabilities) {
  const { pack, chapter } = opened;
  const offered = chapter.options.map((number, place) => ({ place, check: pack.checks_at[number][0], part: pack.parts[pack.checks_at[number][1]][0] })).filter((it) => it.check === finding.check);
  const wanted = finding.part === null ? offered : offered.filter((it) => it.part === finding.part);
  if (wanted.length === 0) throw new NotCovered("An earlier answer is about a part that this phone holds nothing on.");
  const mass = (/** @type {string} */ part) => chapter.hypotheses.reduce((sum, it, place) => (pack.parts[it[1]][0] === part ? sum + probabilities[place] : sum), 0);
  const keyed = wanted.map((it) => ({ place: it.place, key: [it.part.startsWith("?") ? 0 : 1, -rounded(mass(it.part)), it.part] }));
  return keyed.sort((one, other) => compare(one.key, other.key))[0].place;
}

/** @param {number} value @returns {number} the value with the digits that count in an order, halves to even */
export function rounded(value) {
  const scaledUp = value * SCALE;
  const whole = Math.round(scaledUp);
  const isHalf = Math.abs(scaledUp - Math.trunc(scaledUp)) === 0.5;
  return (isHalf && whole % 2 !== 0 ? whole - 1 : whole) / SCALE;
}

/** @param {(string|number)[]} one @param {(string|number)[]} other @returns {number} which list comes first */
export function compare(one, other) {
  const place = one.findIndex((it, at) => it !== other[at]);
  return place < 0 ? 0 : one[place] < other[place] ? -1 : 1;
}

/**
 * @param {Opened} opened
 * @param {number[]} probabilities
 * @returns {number[]} hypotheses by place, most probable first; equal ones in order of name
 */
export function order(opened, probabilities) {
  const keys = opened.chapter.hypotheses.map(([cause, part], place) => [-rounded(probabilities[place]), cause, opened.pack.parts[part][0]]);
  return keys.map((key, place) => place).sort((one, other) => compare(keys[one], keys[other]));
}
