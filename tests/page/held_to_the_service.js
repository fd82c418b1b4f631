/** Answer every session of a file as the phone does without a signal; print what differs from the service and how long it took. */

import { readFileSync } from "node:fs";

import { answerTo } from "../../api/page/offline/answer.js";
import { ofCase, ofSite } from "../../api/page/offline/opened.js";
import { NotAReading } from "../../api/page/offline/reading.js";
import { weigh } from "../../api/page/offline/weigh.js";

const CLOSE = 1e-9;
const SHOWN_DIGITS = 1.5e-6; // the service rounds what it shows to six digits

const LISTS_OUTCOMES = /has no outcome/;

const { words, packs, sessions } = JSON.parse(readFileSync(process.argv[2], "utf-8"));
const differences = [];
let farthest = 0;
let steps = 0;
let slowest = 0;

for (const [number, session] of sessions.entries()) {
  for (const [count, step] of session.steps.entries()) {
    steps += 1;
    const found = compared(session, step);
    if (found) differences.push(`session ${number}, step ${count}: ${found}`);
  }
}
console.log(JSON.stringify({ sessions: sessions.length, steps, farthest, slowest_ms: slowest, differences: differences.length, first: differences.slice(0, 10) }));

function compared(session, step) {
  const opened = session.pack ? ofCase(words, session.pack) : ofSite(words, packs[session.site], step.question);
  try {
    const before = performance.now();
    const answer = answerTo(opened, step.question);
    slowest = Math.max(slowest, performance.now() - before);
    if (step.refused) return `took what the service refuses: ${step.refused}`;
    return differing(weigh(opened, step.question.findings, step.question.repaired).probabilities, step.probabilities) ?? different(comparable(answer), comparable(step.answer), "answer");
  } catch (error) {
    if (!(error instanceof NotAReading)) throw error;
    if (LISTS_OUTCOMES.test(step.refused ?? "") && error.message === "Choose one of the answers.") return null; // the page shows them
    return step.refused === error.message ? null : `said ${error.message} instead of ${step.refused}`;
  }
}

function differing(mine, theirs) {
  if (mine.length !== theirs.length) return `${mine.length} hypotheses instead of ${theirs.length}`;
  farthest = Math.max(farthest, ...mine.map((it, place) => Math.abs(it - theirs[place])));
  return mine.every((it, place) => Math.abs(it - theirs[place]) < CLOSE) ? null : "another posterior";
}

function comparable(answer) {
  const { in_english, language, understood, ...rest } = answer;
  return rest;
}

function different(mine, theirs, path) {
  if (typeof mine === "number" && typeof theirs === "number") return Math.abs(mine - theirs) < SHOWN_DIGITS ? null : `${path}: ${mine} instead of ${theirs}`;
  if (mine === null || theirs === null || typeof mine !== "object" || typeof theirs !== "object") return mine === theirs ? null : `${path}: ${mine} instead of ${theirs}`;
  const keys = [...new Set([...Object.keys(mine), ...Object.keys(theirs)])];
  return keys.map((key) => different(mine[key] ?? null, theirs[key] ?? null, `${path}.${key}`)).find((it) => it !== null) ?? null;
}
