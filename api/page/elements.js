/** Make elements. Text always goes in as text, so nothing the service sends can become markup. */

import { hyphened } from "./language.js";

/** @typedef {Node|string|null|false|undefined} Child */

/**
 * @param {string} tag
 * @param {Record<string, string|number|boolean|null|undefined|EventListener>} [settings]  attributes, and listeners as `onclick`
 * @param {...(Child|Child[])} children
 * @returns {HTMLElement}
 */
export function make(tag, settings = {}, ...children) {
  const element = document.createElement(tag);
  for (const [name, value] of Object.entries(settings)) apply(element, name, value);
  element.append(...children.flat().filter(isShown).map((it) => (typeof it === "string" && tag !== "textarea" ? hyphened(it) : it)));
  return element;
}

/**
 * @param {string} text
 * @param {EventListener} onclick
 * @param {string} [look]  class names
 * @returns {HTMLElement}
 */
export function button(text, onclick, look = "") {
  return make("button", { type: "button", class: look, onclick }, text);
}

/**
 * @param {string} text
 * @param {string} href
 * @param {string} [look]
 * @returns {HTMLElement}
 */
export function link(text, href, look = "button") {
  return make("a", { href, class: look }, text);
}

/**
 * @param {string} title
 * @param {Child[]} children
 * @param {{look?: string, open?: boolean}} [settings]
 * @returns {HTMLElement} something that unfolds at a tap
 */
export function fold(title, children, settings = {}) {
  return make("details", { class: settings.look, open: settings.open }, make("summary", {}, title), make("div", { class: "inside" }, children));
}

/** @param {HTMLElement} element @param {string} name @param {unknown} value */
function apply(element, name, value) {
  if (typeof value === "function") element.addEventListener(name.slice(2), /** @type {EventListener} */ (value));
  else if (value === true) element.setAttribute(name, "");
  else if (value !== false && value !== null && value !== undefined) element.setAttribute(name, String(value));
}

/** @param {Child} child @returns {child is Node|string} */
function isShown(child) {
  return child !== null && child !== false && child !== undefined && child !== "";
}
