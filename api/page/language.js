/** The page's own words in the language that was chosen; what has no translation stays English. */

export const LANGUAGES = /** @type {const} */ ({ en: "English", de: "Deutsch", da: "Dansk" });
const LOCALES = /** @type {Record<string, string>} */ ({ en: "en-GB", de: "de", da: "da" });
const NAME = "ventsleuth.language";

let language = "en";
/** @type {Record<string, string>} */
let words = {};
/** @type {Map<string, string[]>} long words in small letters, and their pieces */
let breaks = new Map();

/**
 * @param {string} english
 * @param {Record<string, string|number>} [values]  what stands for `{name}` in the text
 * @returns {string} the text in the language that was chosen
 */
export function t(english, values = {}) {
  return (words[english] ?? english).replace(/\{(\w+)\}/g, (whole, name) => (name in values ? String(values[name]) : whole));
}

/**
 * @param {string} text
 * @returns {string} the text with soft hyphens in its long words, so that they break where they should
 */
export function hyphened(text) {
  return text.replace(/\p{L}{12,}/gu, (word) => pieces(word).join("\u00ad"));
}

/** @param {string} word */
function pieces(word) {
  let from = 0;
  return (breaks.get(word.toLowerCase()) ?? [word]).map((it) => word.slice(from, (from += it.length)));
}

/** @returns {string} `en`, `de` or `da` */
export function languageNow() {
  return language;
}

/** @returns {string} the locale of dates */
export function locale() {
  return LOCALES[language];
}

/** @returns {{lang: string}|{}} marks text that is English in a page of another language */
export function english() {
  return language === "en" ? {} : { lang: "en-GB" };
}

/** @returns {string} the language chosen before on this phone, else the phone's own if the page speaks it */
export function preferred() {
  const wanted = kept() ?? navigator.language.slice(0, 2).toLowerCase();
  return wanted in LANGUAGES ? wanted : "en";
}

/**
 * @param {string} wanted
 * @param {Record<string, string>} [more]  words that only this page has
 * @returns {Promise<void>} when the page speaks it
 */
export async function speak(wanted, more = {}) {
  const said = wanted === "en" ? { default: {}, BREAKS: "" } : await import(`./languages/${wanted}.js`);
  words = { ...said.default, ...more };
  breaks = new Map(said.BREAKS.trim().split(/\s+/).map((/** @type {string} */ it) => [it.replaceAll("-", ""), it.split("-")]));
  language = wanted;
  document.documentElement.lang = LOCALES[wanted];
  try {
    localStorage.setItem(NAME, wanted);
  } catch (error) {
    if (!(error instanceof DOMException)) throw error; // barred: it is chosen anew next time
  }
}

function kept() {
  try {
    return localStorage.getItem(NAME);
  } catch (error) {
    if (error instanceof DOMException) return null;
    throw error;
  }
}
