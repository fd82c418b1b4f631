import assert from "node:assert/strict";
import { test } from "node:test";

import { newCase } from "../../api/page/case.js";
import { summaryText } from "../../api/page/summary.js";

const found = { kind: "answer", name: "n", check: "volts-drive", part: "d1", outcome: "none", asked: "Voltage at the drive", said: "None" };
const open = { ...newCase(), siteName: "Small", at: "2026-05-04T10:17", text: "left drive dead", steps: [found, { ...found, said: "Not sure" }] };

test("an open case is summed up with what leads", () => {
  assert.equal(
    summaryText(open, "A core is open, the cable: likely, 60 %"),
    "Site: Small\nWhen: 10:17 on 4 May\nSaid: left drive dead\nFound:\n- Voltage at the drive: None\n- Voltage at the drive: Not sure\nLeading now: A core is open, the cable: likely, 60 %",
  );
});

test("a proved case says the cause and how it was proved, and nothing leads any more", () => {
  const proved = { ...open, steps: [], proved: { name: "A core is open", where: "the cable", proof: ["It runs both ways."] } };

  assert.match(summaryText(proved, "Something"), /Cause: A core is open\. The cable\.\nProved by: It runs both ways\.$/);
  assert.doesNotMatch(summaryText(proved, "Something"), /Leading/);
});
