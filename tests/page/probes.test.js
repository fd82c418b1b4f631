import assert from "node:assert/strict";
import { test } from "node:test";

import { PROBINGS, says } from "../../api/page/probes.js";

test("the caption says all that the picture shows", () => {
  assert.equal(says(PROBINGS["volts-drive"]), "Red probe: open core. Black probe: close or common core.");
  assert.equal(says(PROBINGS["current-drive"]), "Clamp around one core only.");
});

test("resistance is never shown on a live circuit", () => {
  const ohms = Object.values(PROBINGS).filter((it) => it.meter.endsWith("Ω"));

  assert.ok(ohms.length > 5);
  assert.ok(ohms.every((it) => says(it).startsWith("Circuit dead and proved dead.")));
});
