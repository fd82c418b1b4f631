import assert from "node:assert/strict";
import { test } from "node:test";

import { answered, atSite, checkToShow, choose, newCase, pinned, saidAnew, stepped, understood, withCrew, withoutWords } from "../../api/page/case.js";
import { requestOf } from "../../api/page/request.js";

const ANSWER = {
  symptoms: [{ id: "drive-dead", part: "d1", score: 0.9, name: "One drive does not move", about: ["drive"] }],
  told: ["others-fine"],
  understood: { chips: [], corrections: [], asks: [], note: null, told: [{ id: "others-fine", name: "The others work" }], events: [{ at: "2026-05-04T10:05", command: "manual", part: null }] },
  unrecognised: null,
  say_instead: null,
  at: "2026-05-04T10:17",
};
const step = (check, outcome) => ({ kind: "answer", check, part: null, outcome, asked: check, said: outcome });

test("what was understood becomes symptoms, circumstances and commands that can be sent", () => {
  const subject = understood(atSite(newCase(), "small", "Reading room"), "left drive dead", ANSWER);

  assert.deepEqual(requestOf(subject), {
    site: "small",
    at: null,
    events: [{ at: "2026-05-04T10:05", command: "manual", part: null }],
    symptoms: [{ id: "drive-dead", part: "d1" }],
    told: ["others-fine"],
    findings: [],
    repaired: [],
  });
  assert.equal(subject.told[0].name, "The others work");
});

test("what was removed is not sent", () => {
  const subject = understood(newCase(), "left drive dead", ANSWER);
  const removed = { ...subject, told: subject.told.map((it) => ({ ...it, kept: false })), noticed: subject.noticed.map((it) => ({ ...it, kept: false })) };

  assert.deepEqual(requestOf(removed).told, []);
  assert.deepEqual(requestOf(removed).symptoms, []);
});

test("hearing the same text twice keeps one of each command", () => {
  const once = understood(newCase(), "x", ANSWER);

  assert.equal(understood(once, "x", ANSWER).commands.length, 1);
});

test("the time of the first answer stays the time asked about", () => {
  const first = pinned(newCase(), ANSWER, 1000);
  const later = pinned(first, { ...ANSWER, at: "2026-05-04T11:00" }, 2000);

  assert.equal(later.at, "2026-05-04T10:17");
  assert.equal(later.heardAt, 1000);
});

test("an answer given after going back replaces what followed", () => {
  const three = ["a", "b", "c"].reduce((subject, name, count) => stepped(subject, count, step(name, "yes")), newCase());
  const changed = stepped(three, 1, step("b", "no"));

  assert.deepEqual(changed.steps.map((it) => `${it.check}=${it.outcome}`), ["a=yes", "b=no"]);
});

test("only the steps before the one shown are sent", () => {
  const two = stepped(stepped(newCase(), 0, step("a", "yes")), 1, step("b", "no"));

  assert.deepEqual(requestOf(two, 1).findings, [{ check: "a", part: null, outcome: "yes" }]);
});

test("a repair that did not help is sent apart from the findings", () => {
  const subject = stepped(newCase(), 0, { kind: "repair", cause: "core-open", part: "k1", asked: "x", said: "y" });

  assert.deepEqual(requestOf(subject).repaired, [{ cause: "core-open", part: "k1" }]);
  assert.deepEqual(requestOf(subject).findings, []);
});

test("a symptom chosen twice is kept once", () => {
  const symptom = ANSWER.symptoms[0];

  assert.equal(choose(choose(newCase(), symptom), symptom).noticed.length, 1);
});

test("another site drops what hung on the parts of the first", () => {
  const there = understood(atSite(newCase(), "small", "Small"), "words", ANSWER);
  const moved = atSite(there, "medium", "Medium");

  assert.deepEqual(moved.noticed, []);
  assert.equal(moved.text, "words");
  assert.equal(atSite(there, "small", "Small"), there);
});

test("the check that was answered is shown again after going back", () => {
  const check = (name) => ({ check: name, part: null });
  const answer = { next: [check("first"), check("second")] };

  assert.equal(checkToShow(answer, null, step("second", "yes")).check, "second");
  assert.equal(checkToShow(answer, "second", undefined).check, "second");
  assert.equal(checkToShow(answer, null, undefined).check, "first");
  assert.equal(checkToShow(answer, "gone", undefined).check, "first");
});

test("what was read wrong is left out and what it stood for goes with it", () => {
  const said = understood(newCase(), "left drive dead, switch used 12 min ago", ANSWER);
  const rest = { ...ANSWER, told: [], understood: { ...ANSWER.understood, told: [], events: [] } };
  const after = withoutWords(said, ["others fine"], rest);

  assert.deepEqual(after.commands, []);
  assert.deepEqual(after.told, []);
  assert.deepEqual(after.left, ["others fine"]);
  assert.equal(after.text, said.text);
});

test("an answer that is only thought is sent as such, but not knowing stays not knowing", () => {
  const check = { check: "look-fuse", part: "out1", name: "The fuse", where: "the output", part_kind: "output" };
  const subject = stepped(stepped(newCase(), 0, answered(check, "blown", "Blown", "think-so")), 1, answered(check, "not-sure", "Not sure", "think-so"));

  assert.deepEqual(requestOf(subject).findings, [
    { check: "look-fuse", part: "out1", outcome: "blown", certainty: "think-so" },
    { check: "look-fuse", part: "out1", outcome: "not-sure" },
  ]);
  assert.equal(subject.steps[0].said, "Blown (think so)");
});

test("who is there is sent once somebody said so", () => {
  const crew = { competences: ["ordinary"], alone: true, without: ["multimeter"], dark: false };

  assert.equal("crew" in requestOf(newCase()), false);
  assert.deepEqual(requestOf(withCrew(newCase(), crew, true)).crew, crew);
  assert.equal(requestOf(withCrew(newCase(), crew, true)).remote, true);
});

test("another reading replaces what the words stood for before", () => {
  const before = understood(newCase(), "left drive dead since 10:05", ANSWER);
  const other = { ...ANSWER, understood: { ...ANSWER.understood, events: [] } };

  assert.deepEqual(saidAnew(before, "right drive dead", other).commands, []);
  assert.equal(saidAnew(before, "right drive dead", other).text, "right drive dead");
});
