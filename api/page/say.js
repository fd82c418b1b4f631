/** Put numbers, times and ids into plain words. */

import { t } from "./language.js";

const WORDS = /** @type {[number, string][]} */ ([
  [0.95, "almost certain"],
  [0.8, "very likely"],
  [0.5, "likely"],
  [0.2, "possible"],
  [0.05, "small chance"],
  [0, "unlikely"],
]);

const UNITS = /** @type {Record<string, string>} */ ({ ohm: "Ω", Mohm: "MΩ", C: "°C", count: "number counted", s: "seconds", min: "minutes" });

const EFFECTS = /** @type {Record<string, string>} */ ({
  suspected: "Why it is suspected",
  "much-stronger": "Speaks strongly for it",
  stronger: "Speaks for it",
  weaker: "Speaks against it",
  "much-weaker": "Speaks strongly against it",
  supported: "Your finding speaks for it",
  weakened: "Your finding speaks against it",
  "ruled out": "Ruled out",
  "not suspected": "Not suspected",
  kept: "Kept open",
});

const COMPETENCE = /** @type {Record<string, string>} */ ({
  ordinary: "anybody on site",
  instructed: "instructed person",
  skilled: "skilled person, trained for electrical work",
  fire: "person qualified for smoke and fire systems",
});

const KINDS = /** @type {Record<string, string>} */ ({
  site: "Site",
  controller: "Controller",
  output: "Output",
  drive: "Drive",
  opening: "Window, vent or other opening",
  cable: "Cable",
  junction: "Junction box",
  zone: "Zone",
  input: "Switch, sensor or other input",
  lockout: "Lockout",
  schedule: "Time programme",
  link: "Building link",
  fan: "Fan",
});

const FAMILIES = /** @type {Record<string, string>} */ ({
  movement: "How it moves",
  command: "Switches, automatic and other commands",
  setup: "Setting up and discovery",
  indication: "Lamps, displays and messages",
  smoke: "Smoke and fire",
  supply: "Supply and battery",
  output: "Outputs",
  wiring: "Wiring",
  drive: "Drives",
  opening: "Windows, vents and other openings",
  input: "Switches and sensors",
  settings: "Settings",
  link: "Building link",
  fan: "Fans and dampers",
});

/** @param {number} probability @returns {string} */
export function likelihood(probability) {
  return t(WORDS.find(([least]) => probability >= least)?.[1] ?? "unlikely");
}

/** @param {number} probability @returns {string} */
export function percent(probability) {
  if (probability > 0 && probability < 0.01) return t("under 1\u00a0%");
  if (probability > 0.99 && probability < 1) return t("over 99\u00a0%");
  return `${Math.round(probability * 100)}\u00a0%`;
}

/** @param {{causes: {name: string, where: string, probability: number}[]}} answer @returns {string} the leading cause, where, and how likely */
export function leadingWords(answer) {
  const [lead] = answer.causes;
  return lead ? `${lead.name}, ${lead.where}: ${likelihood(lead.probability)}, ${percent(lead.probability)}` : "";
}

/** @param {number} minutes @param {number} walk @returns {string} */
export function time(minutes, walk = 0) {
  const all = Math.max(1, Math.round(minutes + walk));
  const walking = Math.round(walk);
  const length = all < 90 ? `${all} min` : t("{count} hours", { count: Math.round(all / 6) / 10 });
  return walking > 0 ? t("{length}, including {walking} min walk", { length, walking }) : length;
}

/** @param {string} unit @returns {string} */
export function unitWord(unit) {
  return t(UNITS[unit] ?? unit);
}

/** @param {string} effect @returns {string} */
export function effectWord(effect) {
  return t(EFFECTS[effect] ?? sentence(effect));
}

/** @param {string} competence @returns {string} */
export function competenceWord(competence) {
  return t(COMPETENCE[competence] ?? competence);
}

/** @param {string} kind @returns {string} */
export function kindWord(kind) {
  return t(KINDS[kind] ?? sentence(kind));
}

/** @param {string} family @returns {string} */
export function familyWord(family) {
  return t(FAMILIES[family] ?? sentence(family));
}

/** @param {string} id @returns {string} an id read as words, for what the service gives no name */
export function plain(id) {
  return sentence(id.replaceAll("-", " "));
}

/** @param {string} family @returns {number} its place in the order in which families are shown */
export function familyPlace(family) {
  const place = Object.keys(FAMILIES).indexOf(family);
  return place < 0 ? Infinity : place;
}

/** @param {string} text @returns {string} */
export function sentence(text) {
  return text.charAt(0).toUpperCase() + text.slice(1);
}

/** @param {string} text @returns {string} the text with a full stop where it has no mark at its end */
export function closed(text) {
  return /[.?:]$/.test(text.trim()) ? text.trim() : `${text.trim()}.`;
}

/** @param {string} text @returns {string[]} one sentence each */
export function sentences(text) {
  return text.split(/(?<=[.?])\s+(?=\p{Lu})/u).filter((it) => it.trim() !== "");
}
