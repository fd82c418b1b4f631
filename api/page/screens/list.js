/** Choose a symptom from all that are known, by family or by searching. */

import { addressOf } from "../address.js";
import { choose, pinned } from "../case.js";
import { fold, make } from "../elements.js";
import { t } from "../language.js";
import { requestOf } from "../request.js";
import { familyPlace, familyWord } from "../say.js";
import { symptoms } from "../known.js";
import { trying } from "../trouble.js";

/** @import {Context, View} from "../context.js" */
/** @import {SymptomEntry} from "../types.js" */

/** @param {Context} context @returns {Promise<View>} */
export async function list(context) {
  const all = await context.fetch(symptoms());
  const wrong = make("div");
  const found = make("div", { class: "stack" });
  const count = make("p", { class: "soft", role: "status" });
  const row = (/** @type {SymptomEntry} */ it) => symptomRow(it, () => void take(context, it, wrong));
  const fill = (/** @type {string} */ words) => {
    const hits = matching(all, words);
    count.replaceChildren(words.trim() ? t("{count} found", { count: hits.length }) : "");
    found.replaceChildren(...(words.trim() ? hits.map(row) : families(all, row)));
  };
  fill("");
  return { title: t("Choose what you see"), body: [search(fill), wrong, count, found] };
}

/** @param {Context} context @param {SymptomEntry} entry @param {HTMLElement} wrong */
function take(context, entry, wrong) {
  return trying(context, wrong, async () => {
    const chosen = choose(context.subject(), { ...entry, part: null, score: 1 });
    const answer = await context.ask(requestOf(chosen));
    context.change(pinned(chosen, answer, Date.now()));
    context.go(addressOf("confirm"));
  });
}

/** @param {(words: string) => void} fill */
function search(fill) {
  const input = make("input", { id: "search", type: "search", autocomplete: "off", autocapitalize: "none" });
  input.addEventListener("input", () => fill(/** @type {HTMLInputElement} */ (input).value));
  return make("div", { class: "field" }, make("label", { for: "search" }, t("Search")), input);
}

/** @param {SymptomEntry[]} all @param {(it: SymptomEntry) => HTMLElement} row */
function families(all, row) {
  const names = [...new Set(all.map((it) => it.family))].sort((one, other) => familyPlace(one) - familyPlace(other));
  return names.map((name) => {
    const members = all.filter((it) => it.family === name);
    return fold(`${familyWord(name)} (${members.length})`, members.map(row));
  });
}

/** @param {SymptomEntry} it @param {EventListener} onclick */
function symptomRow(it, onclick) {
  return make("button", { type: "button", class: "row", onclick }, it.name, make("span", { class: "remark" }, it.means));
}

/** @param {SymptomEntry[]} all @param {string} words */
function matching(all, words) {
  const wanted = words.toLowerCase().split(/\s+/).filter(Boolean);
  return all.filter((it) => wanted.every((word) => `${it.name} ${it.means}`.toLowerCase().includes(word)));
}
