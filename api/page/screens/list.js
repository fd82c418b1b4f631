/** Choose a symptom from all that are known, by family or by searching. */

import { addressOf } from "../address.js";
import { choose, pinned } from "../case.js";
import { fold, make } from "../elements.js";
import { t } from "../language.js";
import { requestOf } from "../request.js";
import { familyPlace, familyWord } from "../say.js";
import { symptoms } from "../known.js";
import { keptWords } from "../offline/keeper.js";
import { lookUp } from "../offline/lookup.js";
import { signalLost } from "../offline/signal.js";
import { trying } from "../trouble.js";

/** @import {Context, View} from "../context.js" */
/** @import {SymptomEntry} from "../types.js" */
/** @import {Words} from "../offline/types.js" */

/** @param {Context} context @returns {Promise<View>} */
export async function list(context) {
  const [all, words] = await context.fetch(Promise.all([symptoms(), keptWords()]));
  const { text, noticed } = context.subject();
  const typed = signalLost() && noticed.length === 0 ? text : ""; // words that nobody could read are looked up here
  const wrong = make("div");
  const found = make("div", { class: "stack" });
  const count = make("p", { class: "soft", role: "status" });
  const row = (/** @type {SymptomEntry} */ it) => symptomRow(it, () => void take(context, it, wrong));
  const fill = (/** @type {string} */ said) => {
    const hits = hitsFor(all, said, words);
    count.replaceChildren(said.trim() ? t("{count} found", { count: hits.length }) : "");
    found.replaceChildren(...(said.trim() && hits.length ? hits.map(row) : families(all, row)));
  };
  fill(typed);
  return { title: t("Choose what you see"), body: [...lookedUp(typed), search(fill, typed), wrong, count, found] };
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

/** @param {string} typed @returns {HTMLElement[]} */
function lookedUp(typed) {
  return typed ? [make("p", { class: "notice" }, t("No signal: your words were looked up in the list. Tap what fits."))] : [];
}

/** @param {(words: string) => void} fill @param {string} typed */
function search(fill, typed) {
  const input = make("input", { id: "search", type: "search", autocomplete: "off", autocapitalize: "none", value: typed });
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

/** @param {SymptomEntry[]} all @param {string} said @param {Words|undefined} words @returns {SymptomEntry[]} those that hold all words, then those said in like words */
function hitsFor(all, said, words) {
  const like = words && said.trim() ? lookUp(words, said).flatMap((id) => all.filter((it) => it.id === id)) : [];
  return [...new Set([...matching(all, said), ...like])];
}

/** @param {SymptomEntry[]} all @param {string} words */
function matching(all, words) {
  const wanted = words.toLowerCase().split(/\s+/).filter(Boolean);
  return all.filter((it) => wanted.every((word) => `${it.name} ${it.means}`.toLowerCase().includes(word)));
}
