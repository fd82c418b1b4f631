import assert from "node:assert/strict";
import { test } from "node:test";

import { newCase } from "../../api/page/case.js";
import { lastAt, sayMoment, shifted, siteNow } from "../../api/page/clock.js";
import { withCommand } from "../../api/page/last_moved.js";

const MINUTE = 60_000;
const heard = { ...newCase(), at: "2026-05-04T10:17", heardAt: 0 };

test("minutes are counted across midnight and the end of a year", () => {
  assert.equal(shifted("2026-01-01T00:05", -12), "2025-12-31T23:53");
  assert.equal(shifted("2026-05-04T23:50", 30), "2026-05-05T00:20");
});

test("a time of day is the last one before now", () => {
  assert.equal(lastAt("10:05", "2026-05-04T10:17"), "2026-05-04T10:05");
  assert.equal(lastAt("10:17", "2026-05-04T10:17"), "2026-05-04T10:17");
  assert.equal(lastAt("23:50", "2026-05-04T00:10"), "2026-05-03T23:50");
});

test("the site's clock moves on with this phone's", () => {
  assert.equal(siteNow(heard, 40 * MINUTE), "2026-05-04T10:57");
});

test("a time that somebody chose stands still", () => {
  assert.equal(siteNow({ ...heard, atChosen: true }, 40 * MINUTE), "2026-05-04T10:17");
});

test("a command noted later moves the time asked about to now", () => {
  const later = withCommand(heard, "2026-05-04T10:52", 40 * MINUTE);

  assert.equal(later.at, "2026-05-04T10:57");
  assert.deepEqual(later.commands, [{ at: "2026-05-04T10:52", command: "manual", part: null }]);
});

test("a second time replaces the first and not known removes it", () => {
  const once = withCommand(heard, "2026-05-04T10:05", 0);

  assert.equal(withCommand(once, "2026-05-04T10:10", 0).commands.length, 1);
  assert.deepEqual(withCommand(once, null, 0).commands, []);
});

test("the day is said when it is another one", () => {
  assert.equal(sayMoment("2026-05-04T10:35:20.5", "2026-05-04T10:17"), "10:35");
  assert.equal(sayMoment("2026-05-05T00:20", "2026-05-04T23:50"), "00:20 on 5 May");
});
