/** Say that some texts are English, where the page speaks another language. */

import { make } from "./elements.js";
import { english, t } from "./language.js";

/** @returns {HTMLElement[]} one line, or nothing in an English page */
export function stillEnglish() {
  return "lang" in english() ? [make("p", { class: "soft" }, t("Some texts are still in English."))] : [];
}
