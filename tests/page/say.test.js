import assert from "node:assert/strict";
import { test } from "node:test";

import { closed, likelihood, percent, sentences, time } from "../../api/page/say.js";

test("a likelier cause never gets a weaker word", () => {
  const words = ["unlikely", "small chance", "possible", "likely", "very likely", "almost certain"];
  const ranks = Array.from({ length: 1001 }, (_, step) => words.indexOf(likelihood(step / 1000)));

  assert.ok(ranks.every((rank, step) => rank >= 0 && (step === 0 || rank >= ranks[step - 1])));
  assert.equal(new Set(ranks).size, words.length);
});

test("a share is never rounded to certainty or to nothing", () => {
  assert.equal(percent(0.999), "over 99\u00a0%");
  assert.equal(percent(0.001), "under 1\u00a0%");
  assert.equal(percent(0.346), "35\u00a0%");
  assert.equal(percent(1), "100\u00a0%");
  assert.equal(percent(0), "0\u00a0%");
});

test("minutes include the walk and say so", () => {
  assert.equal(time(3, 2), "5 min, including 2 min walk");
  assert.equal(time(0.4), "1 min");
  assert.equal(time(120), "2 hours");
});

test("a text becomes one step a sentence and units do not split it", () => {
  assert.deepEqual(sentences("Read 24 V. Then wait 0.5 s. Is it off?"), ["Read 24 V.", "Then wait 0.5 s.", "Is it off?"]);
  assert.deepEqual(sentences("Compare, e.g. with the drawing."), ["Compare, e.g. with the drawing."]);
});

test("a sentence gets one mark at its end", () => {
  assert.equal(closed("As fitted"), "As fitted.");
  assert.equal(closed("As fitted."), "As fitted.");
});
