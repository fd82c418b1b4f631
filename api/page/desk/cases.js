/** The open cases, and a new one for a caller. */

import { ago } from "../clock.js";
import { button, fold, make } from "../elements.js";
import { plain } from "../say.js";

/** @import {CaseRow, Desk} from "./desk.js" */

/** @param {Desk} desk @param {CaseRow[]} rows */
export function caseList(desk, rows) {
  const items = rows.map((it) => make("li", {}, row(desk, it)));
  return make("div", { class: "stack" }, make("h2", {}, `Open cases (${rows.length})`), make("ul", { class: "plain stack" }, items));
}

/** @param {Desk} desk @param {CaseRow} it */
function row(desk, it) {
  const led = it.leading_cause ? `Leading: ${plain(it.leading_cause)}` : "Nothing known yet";
  const remark = make("span", { class: "remark" }, `${it.site ?? "No description"}. ${led}. ${ago(Date.now() - Date.parse(it.updated_at))}`);
  const open = () => void desk.open(it.id);
  return make("button", { type: "button", class: "row", "aria-pressed": it.id === desk.shown() ? "true" : "false", onclick: open }, it.title, remark);
}

/** @param {Desk} desk @param {{id: string, name: string}[]} sites */
export function newCall(desk, sites) {
  const words = /** @type {HTMLTextAreaElement} */ (make("textarea", { id: "caller-words", rows: 3, maxlength: 4000 }));
  const site = /** @type {HTMLSelectElement} */ (make("select", { id: "caller-site" }, make("option", { value: "" }, "No description"), sites.map((it) => make("option", { value: it.id }, it.name))));
  const begin = () => {
    if (words.value.trim() === "") return words.focus();
    void desk.call({ site: site.value || null, text: words.value.trim() });
    words.value = "";
    box.open = false;
  };
  const box = /** @type {HTMLDetailsElement} */ (fold("New call", [
    make("div", { class: "field" }, make("label", { for: "caller-site" }, "Site"), site),
    make("div", { class: "field" }, make("label", { for: "caller-words" }, "What the caller says"), words),
    button("Begin the case", begin, "main"),
  ]));
  return box;
}
