/** Put the summary of a case on paper, or into a PDF, with the browser's own printing. */

import { make } from "./elements.js";
import { t } from "./language.js";

/** @param {string} title @param {[title: string, lines: string[]][]} sections  prints these and nothing of the screen */
export function printSummary(title, sections) {
  const sheet = make("section", { class: "paper" }, make("h1", {}, title), sections.map(([heading, lines]) => make("section", {}, make("h2", {}, heading), lines.length === 1 ? make("p", {}, lines[0]) : make("ul", {}, lines.map((it) => make("li", {}, it))))), make("p", { class: "soft" }, t("Made with Ventsleuth. Work on electrical parts is for those who may do it.")));
  document.querySelector(".paper")?.remove();
  document.body.append(sheet);
  addEventListener("afterprint", () => sheet.remove(), { once: true });
  print();
}
