/** Put checks, causes and reasons into the service's own words. */

import { rowsAt } from "./weigh.js";
import { timed } from "./opened.js";

/** @import {Caution, Check, Reason, Repair} from "../types.js" */
/** @import {Choice} from "./plan.js" */
/** @import {Opened, PackPart, Weighed} from "./types.js" */

const ELSE = "something-else";

/** @param {Opened} opened @param {string} cause @returns {string} */
export function causeName(opened, cause) {
  return cause === ELSE ? opened.words.numbers.else_name : opened.words.causes[cause].name;
}

/** @param {string} part @returns {string|null} the id for callers; nothing for a stand-in or the site as a whole */
export function publicPart(part) {
  return part.startsWith("?") || part === "site" ? null : part;
}

/** @param {Opened} opened @param {string[]} hazards @param {PackPart} part @returns {Caution[]} */
function cautions(opened, hazards, part) {
  const kept = hazards.filter((it) => !(part[3] && it === opened.words.numbers.smoke_caution));
  return kept.map((id) => ({ id, name: opened.words.cautions[id][0], text: opened.words.cautions[id][1], defer: opened.words.cautions[id][2] }));
}

/** @param {Opened} opened @param {Choice} choice @param {string} whyNow @returns {Check} */
export function describeCheck(opened, choice, whyNow) {
  const [id, number, place, expected] = opened.pack.checks_at[opened.chapter.options[choice.place]];
  const part = opened.pack.parts[number];
  const it = opened.words.checks[id];
  const expect = timed(opened, expected);
  return {
    check: id,
    part: publicPart(part[0]),
    part_kind: part[1],
    name: it.name,
    where: part[2],
    place: place === null ? "" : opened.pack.places.names[place],
    question: it.question,
    how: it.how,
    minutes: it.minutes,
    walk_minutes: choice.walk,
    tools: it.tools,
    competence: it.competence,
    expect,
    unit: it.reading?.unit ?? null,
    cautions: cautions(opened, it.hazards, part),
    outcomes: it.outcomes.map(([outcome, label, means]) => ({ id: outcome, label: labelled(label, expect), means })),
    why_now: whyNow,
    bits: choice.bits,
  };
}

/** @param {string} label @param {string} expect @returns {string} a healthy label that only repeats the reading is cut short */
export function labelled(label, expect) {
  return label.replace(/: \{expect\}$/, "").replaceAll("{expect}", expect.replace(/\.+$/, ""));
}

/**
 * @param {Opened} opened
 * @param {number[]} probabilities
 * @param {Choice[]} choices
 * @returns {string[]} for each check, one sentence on which two of the likeliest causes it settles between
 */
export function whyNow(opened, probabilities, choices) {
  const leaders = probabilities.map((_, place) => place).sort((one, other) => probabilities[other] - probabilities[one] || one - other).slice(0, opened.words.numbers.leaders);
  const names = leaders.map((place) => causeName(opened, opened.chapter.hypotheses[place][0]));
  const pairs = leaders.flatMap((_, one) => leaders.map((__, other) => [one, other]).filter(([first, other]) => first < other && names[first] !== names[other]));
  return choices.map((choice) => {
    const minutes = inMinutes(choice.minutes - opened.words.numbers.answer_minutes);
    if (pairs.length === 0) return `It confirms or clears “${names[0]}” in ${minutes}.`;
    const rows = rowsAt(opened.chapter, choice.place).map((row) => opened.pack.rows[row]);
    const apart = pairs.map(([one, other]) => distance(rows[leaders[one]], rows[leaders[other]]) * probabilities[leaders[other]]);
    const [one, other] = pairs[apart.indexOf(Math.max(...apart))];
    return `It tells “${names[one]}” from “${names[other]}” in ${minutes}.`;
  });
}

/** @param {number[]} one @param {number[]} other */
function distance(one, other) {
  return one.reduce((sum, chance, column) => sum + Math.abs(chance - other[column]), 0);
}

/** @param {number} minutes */
function inMinutes(minutes) {
  const whole = halfToEven(minutes);
  return whole <= 1 ? "about a minute" : `about ${whole} minutes`;
}

/** @param {number} value */
function halfToEven(value) {
  const whole = Math.round(value);
  return Math.abs(value % 1) === 0.5 && whole % 2 !== 0 ? whole - 1 : whole;
}

/** @param {Opened} opened @param {number} place  of the hypothesis @param {Weighed[]} weighed @returns {Reason[]} */
export function whyOf(opened, place, weighed) {
  const [cause, , , reasons] = opened.chapter.hypotheses[place];
  const byRule = reasons.map((number) => reasonOf(opened, number));
  if (cause === ELSE) return byRule;
  return [...byRule, ...weighed.flatMap((it) => findingReason(opened, place, cause, it))];
}

/** @param {Opened} opened @param {number} number @returns {Reason} */
export function reasonOf(opened, number) {
  const [source, effect, says, facts] = opened.pack.reasons[number];
  return { source, effect, says, facts };
}

/** @param {Opened} opened @param {number} place @param {string} cause @param {Weighed} weighed @returns {Reason[]} */
function findingReason(opened, place, cause, weighed) {
  const { clear_shift } = opened.words.numbers;
  const shift = weighed.chances[place] / weighed.expected;
  if (1 / clear_shift < shift && shift < clear_shift) return [];
  const check = opened.words.checks[weighed.finding.check];
  const label = check.outcomes.find(([id]) => id === weighed.finding.outcome)?.[1] ?? "";
  const where = opened.pack.parts.find(([id]) => id === weighed.part)?.[2] ?? weighed.part;
  const said = `${check.name}, ${where}: ${plain(label)}.`;
  const because = opened.words.causes[cause].because[weighed.finding.check] ?? "";
  if (shift > 1) return [{ source: weighed.finding.check, effect: "supported", says: `${said} ${because}`.trim(), facts: [] }];
  return [{ source: weighed.finding.check, effect: "weakened", says: `${said} This fault seldom shows that.`, facts: [] }];
}

/** @param {string} label */
function plain(label) {
  return label.replaceAll(": {expect}", "").replaceAll("{expect}", "as expected").replace(/\.+$/, "");
}

/** @param {Opened} opened @param {number} place @returns {Repair} what to do about the hypothesis at that place */
export function repairOf(opened, place) {
  const [cause, number] = opened.chapter.hypotheses[place];
  const part = opened.pack.parts[number];
  const it = opened.words.causes[cause];
  return {
    cause,
    part: publicPart(part[0]),
    name: it.name,
    where: part[2],
    steps: it.remedy,
    proof: it.proof,
    minutes: it.minutes,
    competence: it.competence,
    cautions: cautions(opened, it.cautions, part),
  };
}
