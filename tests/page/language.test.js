import assert from "node:assert/strict";
import { readFileSync, readdirSync } from "node:fs";
import { test } from "node:test";

import danishDesk from "../../api/page/desk/languages/da.js";
import germanDesk from "../../api/page/desk/languages/de.js";
import danishPhone from "../../api/page/languages/da.js";
import germanPhone from "../../api/page/languages/de.js";

const danish = { ...danishPhone, ...danishDesk };
const german = { ...germanPhone, ...germanDesk };

const { hyphened, speak } = await import("../../api/page/language.js");

const PAGE = new URL("../../api/page/", import.meta.url);
const FILES = ["", "screens/", "offline/", "desk/"].flatMap((folder) => readdirSync(new URL(folder, PAGE)).filter((it) => it.endsWith(".js")).map((it) => new URL(folder + it, PAGE)));
const SAID = /\bt\(\s*("(?:[^"\\]|\\.)*")/g;
const LATER = /(?:NotCovered\(|const [A-Z_]+ = |^ {2}(?:[a-z]+|"[a-z -]+"): |\], |^ {2}\[0[.0-9]*, )("(?:[^"\\]|\\.)*")/gm;

const texts = [...new Set(FILES.flatMap((file) => [...readFileSync(file, "utf-8").matchAll(SAID)].map((it) => JSON.parse(it[1]))))];
const sayings = [...readFileSync(new URL("say.js", PAGE), "utf-8").matchAll(LATER)].map((it) => JSON.parse(it[1]));
const places = [...readFileSync(new URL("probes.js", PAGE), "utf-8").matchAll(/\b(?:red|black|around): ("(?:[^"\\]|\\.)*")/g)].map((it) => JSON.parse(it[1]));
const kinds = [...readFileSync(new URL("desk/talk.js", PAGE), "utf-8").matchAll(LATER)].map((it) => JSON.parse(it[1]));
const refusals = [...readFileSync(new URL("offline/opened.js", PAGE), "utf-8").matchAll(LATER)].map((it) => JSON.parse(it[1]));
const SAME_EVERYWHERE = new Set(["Ω", "MΩ", "°C", "min", " ", "A", "B", "local"]);

test("every text of the page has its German and its Danish", () => {
  const wanted = [...texts, ...sayings, ...refusals, ...places, ...kinds].filter((it) => !SAME_EVERYWHERE.has(it));

  assert.ok(texts.length > 150 && sayings.length > 40 && refusals.length > 3 && places.length > 20 && kinds.length > 15);
  assert.deepEqual(wanted.filter((it) => !(it in german)), []);
  assert.deepEqual(wanted.filter((it) => !(it in danish)), []);
});

test("a translation has the same places for values as its English", () => {
  const places = (text) => [...text.matchAll(/\{\w+\}/g)].map((it) => it[0]).sort();

  for (const words of [german, danish]) {
    for (const [english, said] of Object.entries(words)) assert.deepEqual(places(said), places(english), english);
  }
});

test("long words of another language break where they are said to, and nothing else changes", async () => {
  globalThis.document = { documentElement: {} };
  globalThis.localStorage = { setItem() {} };
  await speak("de");
  const shown = hyphened("Nachgewiesen: Spannungsfreiheit, small wonderfulness");

  assert.equal(shown, "Nach\u00adge\u00adwie\u00adsen: Span\u00adnungs\u00adfrei\u00adheit, small wonderfulness");
  await speak("en");
  assert.equal(hyphened("Nachgewiesen"), "Nachgewiesen");
});
