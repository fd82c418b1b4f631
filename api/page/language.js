/** The page's own words in the language that was chosen; what has no translation stays English. */

export const LANGUAGES = /** @type {const} */ ({ en: "English", de: "Deutsch", da: "Dansk" });
const LOCALES = /** @type {Record<string, string>} */ ({ en: "en-GB", de: "de", da: "da" });
const NAME = "ventsleuth.language";

let language = "en";
/** @type {Record<string, string>} */
let words = {};

/**
 * @param {string} english
 * @param {Record<string, string|number>} [values]  what stands for `{name}` in the text
 * @returns {string} the text in the language that was chosen
 */
export function t(english, values = {}) {
  return (words[english] ?? english).replace(/\{(\w+)\}/g, (whole, name) => (name in values ? String(values[name]) : whole));
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

/** @param {string} wanted @returns {Promise<void>} when the page speaks it */
export async function speak(wanted) {
  words = wanted === "en" ? {} : (await import(`./languages/${wanted}.js`)).default;
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
