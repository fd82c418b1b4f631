import assert from "node:assert/strict";
import { test } from "node:test";

import { lookUp } from "../../api/page/offline/lookup.js";

const symptom = (id, name, ...phrases) => ({ id, name, means: "", family: "movement", about: [], shown_by: [], phrases });
const WORDS = {
  symptoms: [
    symptom("runs-reversed", "It runs the wrong way", "actuator runs wrong way", "press open and the window goes shut"),
    symptom("drive-dead", "One drive does not move", "one window stays still", "motor is dead"),
    symptom("battery-fault", "Battery fault is shown", "battery lamp is on", "low battery message"),
  ],
  languages: { de: { symptoms: { "runs-reversed": "Läuft verkehrt herum", "drive-dead": "Ein Antrieb fährt nicht", "battery-fault": "Akkustörung wird angezeigt" } } },
  ideas: { akku: "battery", lampe: "lamp", fenster: "window" },
};

test("words find the symptom whose phrases are most like them first", () => {
  assert.equal(lookUp(WORDS, "the motor runs the wrong way round")[0], "runs-reversed");
  assert.equal(lookUp(WORDS, "a window that stays still")[0], "drive-dead");
});

test("German words are found by the German name and by the English phrases", () => {
  assert.equal(lookUp(WORDS, "der Antrieb fährt nicht")[0], "drive-dead");
  assert.equal(lookUp(WORDS, "Lampe vom Akku brennt")[0], "battery-fault");
});

test("words that nobody uses for a fault find nothing", () => {
  assert.deepEqual(lookUp(WORDS, "tomorrow sunshine"), []);
  assert.deepEqual(lookUp(WORDS, ""), []);
});
