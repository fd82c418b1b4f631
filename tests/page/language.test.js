import assert from "node:assert/strict";
import { readFileSync, readdirSync } from "node:fs";
import { test } from "node:test";

import danish from "../../api/page/languages/da.js";
import german from "../../api/page/languages/de.js";

const PAGE = new URL("../../api/page/", import.meta.url);
const FILES = ["", "screens/", "offline/"].flatMap((folder) => readdirSync(new URL(folder, PAGE)).filter((it) => it.endsWith(".js")).map((it) => new URL(folder + it, PAGE)));
const SAID = /\bt\(\s*("(?:[^"\\]|\\.)*")/g;
const LATER = /(?:NotCovered\(|const [A-Z_]+ = |^ {2}(?:[a-z]+|"[a-z -]+"): |\], |^ {2}\[0[.0-9]*, )("(?:[^"\\]|\\.)*")/gm;

const texts = [...new Set(FILES.flatMap((file) => [...readFileSync(file, "utf-8").matchAll(SAID)].map((it) => JSON.parse(it[1]))))];
const sayings = [...readFileSync(new URL("say.js", PAGE), "utf-8").matchAll(LATER)].map((it) => JSON.parse(it[1]));
const refusals = [...readFileSync(new URL("offline/opened.js", PAGE), "utf-8").matchAll(LATER)].map((it) => JSON.parse(it[1]));
const SAME_EVERYWHERE = new Set(["Ω", "MΩ", "°C", "min", " "]);

test("every text of the page has its German and its Danish", () => {
  const wanted = [...texts, ...sayings, ...refusals].filter((it) => !SAME_EVERYWHERE.has(it));

  assert.ok(texts.length > 150 && sayings.length > 40 && refusals.length > 3);
  assert.deepEqual(wanted.filter((it) => !(it in german)), []);
  assert.deepEqual(wanted.filter((it) => !(it in danish)), []);
});

test("a translation has the same places for values as its English", () => {
  const places = (text) => [...text.matchAll(/\{\w+\}/g)].map((it) => it[0]).sort();

  for (const words of [german, danish]) {
    for (const [english, said] of Object.entries(words)) assert.deepEqual(places(said), places(english), english);
  }
});
