/** Hand a text to another app, or to the clipboard, or show it for copying by hand. */

import { make } from "./elements.js";
import { t } from "./language.js";

/** @param {string} text @param {HTMLElement} says  where to tell what became of it @returns {Promise<void>} */
export async function share(text, says) {
  try {
    if (navigator.share) return await navigator.share({ text });
    await navigator.clipboard.writeText(text);
    says.replaceChildren(make("p", { role: "status" }, t("Copied. Paste it where you need it.")));
  } catch (error) {
    if (error instanceof DOMException && error.name === "AbortError") return; // the person thought better of it
    if (!(error instanceof DOMException || error instanceof TypeError)) throw error;
    says.replaceChildren(byHand(text));
  }
}

/** @param {string} text */
function byHand(text) {
  const box = make("textarea", { id: "to-copy", rows: 8, readonly: true });
  /** @type {HTMLTextAreaElement} */ (box).value = text;
  return make("div", { class: "field" }, make("label", { for: "to-copy" }, t("Copy this text")), box);
}
