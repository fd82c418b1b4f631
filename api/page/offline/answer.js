/** Answer a question on this phone with the same words, order and numbers as the service. */

import { choices } from "./plan.js";
import { translated } from "./translate.js";
import { order, weigh } from "./weigh.js";
import { causeName, describeCheck, publicPart, reasonOf, repairOf, whyNow, whyOf } from "./words.js";

/** @import {Cause, Diagnosis, WhyNot} from "../types.js" */
/** @import {Opened, Question, Weight} from "./types.js" */

const ELSE = "something-else";
const ALWAYS_SHOWN = new Set(["as-designed", ELSE]);
const DIGITS = 1e6;

/** @param {Opened} opened @param {Question} question @returns {Diagnosis} */
export function answerTo(opened, question) {
  const weight = weigh(opened, question.findings, question.repaired);
  const ranked = order(opened, weight.probabilities);
  const shown = shownOf(opened, ranked);
  const answer = {
    symptoms: question.symptoms.map((it) => symptomOf(opened, it)),
    causes: causesOf(opened, weight, shown),
    next: nextChecks(opened, weight, question),
    repair: isSure(opened, weight, ranked[0]) ? repairOf(opened, ranked[0]) : null,
    advice: adviceOf(opened, weight, shown),
    resumes_at: opened.resumes,
    why_not: (question.why_not ?? []).map((it) => whyNotOf(opened, question, weight, it)),
    told: [...question.told].sort(),
    unrecognised: null,
    say_instead: null,
    understood: null,
    at: question.at,
    language: "en",
    knowledge_version: opened.pack.knowledge_version,
  };
  return translated(opened.words, answer, question.language ?? "en");
}

/** @param {Opened} opened @param {{id: string, part: string|null}} it */
function symptomOf(opened, it) {
  const known = opened.words.symptoms.find((other) => other.id === it.id);
  return { id: it.id, part: it.part ?? null, score: 1, name: known?.name ?? it.id, about: known?.about ?? [] };
}

/** @param {Opened} opened @param {number[]} ranked @returns {number[]} places of the causes that are shown, the likeliest first */
function shownOf(opened, ranked) {
  const { shown_causes } = opened.words.numbers;
  return ranked.filter((place, at) => at < shown_causes || ALWAYS_SHOWN.has(opened.chapter.hypotheses[place][0]));
}

/** @param {Opened} opened @param {Weight} weight @param {number[]} shown @returns {Cause[]} */
function causesOf(opened, weight, shown) {
  return shown.map((place) => {
    const [cause, number] = opened.chapter.hypotheses[place];
    const [part, kind, where] = opened.pack.parts[number];
    return {
      id: cause,
      part: publicPart(part),
      part_kind: kind,
      name: causeName(opened, cause),
      where,
      probability: Math.round(weight.probabilities[place] * DIGITS) / DIGITS,
      why: whyOf(opened, place, weight.weighed),
    };
  });
}

/** @param {Opened} opened @param {Weight} weight @param {Question} there */
function nextChecks(opened, weight, there) {
  const chosen = choices(opened, weight, there);
  const reasons = whyNow(opened, weight.probabilities, chosen);
  return chosen.map((choice, place) => describeCheck(opened, choice, reasons[place]));
}

/** @param {Opened} opened @param {Weight} weight @param {number} leader */
function isSure(opened, weight, leader) {
  return weight.probabilities[leader] >= opened.words.numbers.sure_enough && opened.chapter.hypotheses[leader][0] !== ELSE;
}

/** @param {Opened} opened @param {Weight} weight @param {number[]} shown */
function adviceOf(opened, weight, shown) {
  const told = opened.chapter.advice.map(([rule, says]) => ({ rule, says }));
  if (opened.chapter.hypotheses[shown[0]][0] !== ELSE || isConfirmed(opened, weight, shown)) return told;
  const all = [...told, { rule: ELSE, says: opened.words.numbers.escalate }];
  return all.sort((one, other) => (one.rule < other.rule ? -1 : one.rule > other.rule ? 1 : 0));
}

/** @param {Opened} opened @param {Weight} weight @param {number[]} shown @returns {boolean} whether some answer confirms a cause shown by itself and speaks for it here */
function isConfirmed(opened, weight, shown) {
  const { hypotheses } = opened.chapter;
  const rest = hypotheses.findIndex(([cause]) => cause === ELSE);
  const confirms = (/** @type {string} */ cause, /** @type {{check: string, outcome: string}} */ it) =>
    opened.words.causes[cause]?.confirming?.[it.check]?.includes(it.outcome) ?? false;
  return weight.weighed.some((it) => shown.some((place) => confirms(hypotheses[place][0], it.finding) && it.chances[place] > it.chances[rest]));
}

/** @param {Opened} opened @param {Question} question @param {Weight} weight @param {string} cause @returns {WhyNot} */
function whyNotOf(opened, question, weight, cause) {
  const probability = opened.chapter.hypotheses.reduce((sum, it, place) => (it[0] === cause ? sum + weight.probabilities[place] : sum), 0);
  const isOpen = opened.chapter.hypotheses.some((it) => it[0] === cause);
  return { cause, name: opened.words.causes[cause].name, probability: Math.round(probability * DIGITS) / DIGITS, why: isOpen ? [] : ruledOut(opened, question, cause) };
}

/** @param {Opened} opened @param {Question} question @param {string} cause */
function ruledOut(opened, question, cause) {
  const excluded = opened.chapter.excluded[cause];
  if (excluded) return excluded.map((it) => reasonOf(opened, it));
  const asked = [...new Set(question.symptoms.map((it) => it.id))].sort().map((id) => opened.words.symptoms.find((it) => it.id === id));
  const names = asked.map((it) => `“${it?.name}”`).join(" or ");
  const speaks = asked.some((it) => it?.shown_by.includes(cause));
  const says = speaks ? `It can show ${names}, but what is described of this site does not meet its rules.` : `No rule connects it with ${names}.`;
  return [{ source: cause, effect: "not suspected", says, facts: [] }];
}
