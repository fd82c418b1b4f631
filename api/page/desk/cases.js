/** The open cases, and a new one for a caller. */

import { ago } from "../clock.js";
import { button, fold, make } from "../elements.js";
import { t } from "../language.js";

/** @import {CaseRow, Desk} from "./desk.js" */
/** @import {Names} from "./names.js" */

/** @param {Desk} desk @param {CaseRow[]} rows @param {Names} names */
export function caseList(desk, rows, names) {
  const items = rows.map((it) => make("li", {}, row(desk, it, names)));
  return make("div", { class: "stack" }, make("h2", {}, t("Open cases ({count})", { count: rows.length })), make("ul", { class: "plain stack" }, items));
}

/** @param {Desk} desk @param {CaseRow} it @param {Names} names */
function row(desk, it, names) {
  const led = it.leading_cause ? t("Leading: {cause}", { cause: names.cause(it.leading_cause) }) : t("Nothing known yet");
  const remark = make("span", { class: "remark" }, `${names.site(it.site)}. ${led}. ${ago(Date.now() - Date.parse(it.updated_at))}`);
  const open = () => void desk.open(it.id);
  return make("button", { type: "button", class: "row", "aria-pressed": it.id === desk.shown() ? "true" : "false", onclick: open }, it.title, remark);
}

/** @param {Desk} desk @param {{id: string, name: string}[]} sites */
export function newCall(desk, sites) {
  const words = /** @type {HTMLTextAreaElement} */ (make("textarea", { id: "caller-words", rows: 3, maxlength: 4000 }));
  const site = /** @type {HTMLSelectElement} */ (make("select", { id: "caller-site" }, make("option", { value: "" }, t("No description")), sites.map((it) => make("option", { value: it.id }, it.name))));
  const begin = () => {
    if (words.value.trim() === "") return words.focus();
    void desk.call({ site: site.value || null, text: words.value.trim() });
    words.value = "";
    box.open = false;
  };
  const box = /** @type {HTMLDetailsElement} */ (fold(t("New call"), [
    make("div", { class: "field" }, make("label", { for: "caller-site" }, t("Site")), site),
    make("div", { class: "field" }, make("label", { for: "caller-words" }, t("What the caller says")), words),
    button(t("Begin the case"), begin, "main"),
  ]));
  return box;
}
