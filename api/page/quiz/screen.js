/** Paint a screen of the quiz pages: a title, a body and actions; and tell what went wrong above the actions. */

import { make } from "../elements.js";
import * as service from "./service.js";

/** @typedef {Node|string|false|null|undefined} Part */

const main = /** @type {HTMLElement} */ (document.querySelector("main"));

/**
 * Show a screen; the main action stays under the thumb, the others come to rest below it.
 * @param {string} title
 * @param {Part[]} body
 * @param {HTMLElement[]} actions
 * @param {{look?: string, keepFocus?: boolean}} [settings]
 */
export function paint(title, body, actions, { look = "actions", keepFocus = false } = {}) {
  const heading = make("h1", { tabindex: -1 }, title);
  const [first, ...others] = look.includes("resting") ? [actions] : [actions.slice(0, 1), actions.slice(1)];
  const bars = [make("div", { class: look }, first), ...(others.flat().length ? [make("div", { class: "actions resting" }, others.flat())] : [])];
  main.replaceChildren(heading, ...body.filter((it) => it instanceof Node), ...bars);
  document.title = `${title} – Ventsleuth`;
  if (keepFocus) return;
  scrollTo(0, 0);
  heading.focus({ preventScroll: true });
}

/** @param {unknown} error */
export function tell(error) {
  if (!(error instanceof service.Trouble)) throw error;
  main.querySelector("[data-trouble]")?.remove();
  main.querySelector(".actions")?.before(make("p", { class: "error", "data-trouble": "", role: "alert" }, error.message));
}

/** @param {() => Promise<void>} work */
export async function trying(work) {
  try {
    await work();
  } catch (error) {
    tell(error);
  }
}

/** @param {string} says @param {HTMLElement} control */
export const labelled = (says, control) => make("label", { class: "stack" }, make("span", {}, says), control);

/** @param {string} name @param {[string, string][]} options @param {string} chosen */
export const choice = (name, options, chosen) => make("select", { name }, options.map(([value, says]) => make("option", { value, selected: value === chosen }, says)));

/** @type {[string, string][]} */
export const LANGUAGES = [["en", "English"], ["de", "Deutsch"], ["da", "Dansk"]];
export const TOPICS = ["supply", "output", "wiring", "drive", "opening", "input", "settings", "link", "fan"];

/** @returns {string} the language of the browser where there are words in it, else English */
export function ownLanguage() {
  const found = (navigator.language ?? "en").slice(0, 2);
  return LANGUAGES.some(([code]) => code === found) ? found : "en";
}
