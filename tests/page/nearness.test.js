import assert from "node:assert/strict";
import { test } from "node:test";

import { distanceWords, metres, nearestFirst } from "../../api/page/nearness.js";

test("one degree along a meridian is 111.2 km", () => {
  // 2 π · 6 371 km / 360: the mean radius of the earth as the IUGG gives it
  const length = metres({ latitude: 51, longitude: 0 }, { latitude: 52, longitude: 0 });

  assert.ok(Math.abs(length - 111_195) < 1);
});

test("one degree of longitude is shorter the farther north it is", () => {
  const at = (latitude) => metres({ latitude, longitude: 10 }, { latitude, longitude: 11 });

  assert.ok(Math.abs(at(60) / at(0) - 0.5) < 0.001);
});

test("near sites come first and unknown ones keep their order behind", () => {
  const sites = [{ id: "a" }, { id: "b" }, { id: "c" }, { id: "d" }];

  assert.deepEqual(nearestFirst(sites, new Map([["d", 10], ["b", 900]])).map((it) => it.id), ["d", "b", "a", "c"]);
});

test("distances are said as people say them", () => {
  assert.deepEqual([distanceWords(130), distanceWords(960), distanceWords(12_345)], ["150 m away", "1 km away", "12 km away"]);
});
