import assert from "node:assert/strict";
import { test } from "node:test";

import { addressOf, reachable, readAddress } from "../../api/page/address.js";
import { newCase } from "../../api/page/case.js";

const noticed = [{ id: "drive-dead", name: "", about: [], part: null, kept: true }];
const heard = { ...newCase(), siteName: "Small", noticed };

test("an address reads back as it was written", () => {
  for (const place of [["site"], ["causes", 0], ["check", 3], ["check", 3, "volts-drive@d1"], ["check", 1, "a/b?c#d@ä"]]) {
    const [step, count = 0, check = null] = place;

    assert.deepEqual(readAddress(addressOf(...place)), { step, count, check });
  }
});

test("an unknown address leads to the first step", () => {
  for (const hash of ["", "#", "#/nowhere", "#/__proto__/1", "#check/1"]) assert.equal(readAddress(hash).step, "site");
});

test("a spoilt escape leads to the check and not to an error", () => {
  assert.deepEqual(readAddress("#/check/1/%E0%A4%A"), { step: "check", count: 1, check: null });
});

test("a step comes only after those it needs", () => {
  const wanted = readAddress("#/check/2");

  assert.equal(reachable(wanted, newCase()).step, "site");
  assert.equal(reachable(wanted, { ...newCase(), siteName: "Small" }).step, "symptom");
  assert.equal(reachable(wanted, { ...heard, noticed: [{ ...noticed[0], kept: false }] }).step, "confirm");
  assert.deepEqual(reachable(wanted, heard), { step: "check", count: 0, check: null });
  assert.equal(reachable(readAddress("#/done/0"), heard).step, "causes");
});
