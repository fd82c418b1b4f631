/** What is chosen in a question, and what is meant by typed words. */

import assert from "node:assert/strict";
import { test } from "node:test";

import { atFirst, firstOpen, inWords, isComplete, moved, share } from "../../api/page/quiz/answer.js";
import { fitting, SHOWN } from "../../api/page/quiz/fitting.js";
import { CARDS } from "../../api/page/quiz/cards_words.js";
import { CLASS } from "../../api/page/quiz/class_words.js";
import { PRACTISE } from "../../api/page/quiz/practise_words.js";
import { whenTold } from "../../api/page/quiz/when.js";
import { languages, topicName, wordNames, wordsOf } from "../../api/page/quiz/words.js";

const choices = [{ letter: "A", text: "One" }, { letter: "B", text: "Two" }, { letter: "C", text: "Three" }];
const asked = (response, prompts = []) => ({ id: "q", kind: "k", topic: "t", response, stem: [], lead_in: "?", prompts, choices, is_partly_english: false });

test("a choice begins empty, an order as shown, pairs with nothing chosen", () => {
  assert.deepEqual(atFirst(asked("choice"), undefined), [""]);
  assert.deepEqual(atFirst(asked("order"), undefined), ["A", "B", "C"]);
  assert.deepEqual(atFirst(asked("match", ["P", "Q"]), undefined), ["", ""]);
});

test("an answer given before stands again", () => {
  assert.deepEqual(atFirst(asked("choice"), ["B"]), ["B"]);
});

test("an answer is complete once something is chosen everywhere", () => {
  assert.equal(isComplete([""]), false);
  assert.equal(isComplete(["A", ""]), false);
  assert.equal(isComplete(["A", "C"]), true);
});

test("a step moves by one place and stops at the ends", () => {
  assert.deepEqual(moved(["A", "B", "C"], 1, -1), ["B", "A", "C"]);
  assert.deepEqual(moved(["A", "B", "C"], 2, 1), ["A", "B", "C"]);
});

test("answers are told in words", () => {
  assert.equal(inWords(asked("order"), ["C", "A", "B"]), "Three → One → Two");
  assert.equal(inWords(asked("match", ["P", "Q"]), ["B", "A"]), "P: Two; Q: One");
});

test("a sitting goes on at the first question without an answer", () => {
  const questions = ["a", "b", "c"].map((id) => ({ ...asked("choice"), id }));
  assert.equal(firstOpen(questions, { a: ["A"] }), 1);
  assert.equal(firstOpen(questions, { a: ["A"], b: ["A"], c: ["A"] }), 2);
});

test("shares are told in per cent, and nothing of nothing is no share", () => {
  assert.equal(share(2, 3), "67 %");
  assert.equal(share(0, 0), "–");
});

test("every typed word must be in the name or the place", () => {
  const options = [{ name: "Voltage at the drive", where: "left window (d1)" }, { name: "Current of the drive", where: "left window (d1)" }];
  assert.deepEqual(fitting(options, "volt LEFT").map((it) => it.name), ["Voltage at the drive"]);
  assert.equal(fitting(options, "").length, 2);
  assert.equal(fitting(Array(40).fill(options[0]), "drive").length, SHOWN);
});

test("each language has the same words, and they are filled in", () => {
  for (const language of languages()) assert.deepEqual(wordNames(language), wordNames("en"));
  assert.equal(wordsOf("de")("question", { n: 3, all: 20 }), "Frage 3 von 20");
  assert.equal(wordsOf("fr")("next"), "Next question");
});

test("practice, cards and class have the same words in each language", () => {
  for (const table of [PRACTISE, CARDS, CLASS]) {
    for (const language of languages()) assert.deepEqual(Object.keys(table[language]).sort(), Object.keys(table.en).sort());
  }
});

test("topics are named in each language, and one without a name keeps its id", () => {
  assert.equal(topicName("wiring", "de"), "Leitungen");
  assert.equal(topicName("other", "de"), "other");
});

test("a card comes back in minutes, at a time of the day, or on a day", () => {
  const now = new Date(2026, 4, 4, 9, 0);
  const say = (_, { minutes }) => `in ${minutes} min`;
  const told = (...at) => whenTold(new Date(...at).toISOString(), now, "en", say);
  assert.equal(told(2026, 4, 4, 9, 10), "in 10 min");
  assert.equal(told(2026, 4, 4, 15, 30), "15:30");
  assert.equal(told(2026, 4, 20, 9, 0), "20 May");
  assert.equal(told(2027, 0, 2, 9, 0), "2 January 2027");
});
