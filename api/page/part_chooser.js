/** Ask which part a symptom is about; not knowing is an answer. */

import { button, make } from "./elements.js";
import { t } from "./language.js";
import { kindWord, sentence } from "./say.js";

/** @import {Noticed, Part} from "./types.js" */

const SHOWN_FIRST = 4;
const SEARCHED_FROM = 13;

/**
 * @param {Noticed} noticed
 * @param {Part[]} parts  all of the site
 * @param {{words: string, parts: string[]}[]} asks  words that could mean any of several parts
 * @param {(part: string|null) => void} set
 * @returns {HTMLElement|null} nothing when the site names no such part
 */
export function partChooser(noticed, parts, asks, set) {
  const meant = new Set(asks.flatMap((it) => it.parts));
  const ofKind = noticed.about.flatMap((kind) => parts.filter((it) => it.kind === kind));
  const named = parts.filter((it) => it.id === noticed.part && !meant.has(it.id));
  const fitting = [...new Set([...named, ...parts.filter((it) => meant.has(it.id)), ...ofKind])];
  if (fitting.length === 0) return null;
  const group = `part-of-${noticed.id}`;
  const several = new Set(fitting.map((it) => it.kind)).size > 1;
  const rows = fitting.map((it) => choice(group, sentence(it.name), several ? kindWord(it.kind) : "", it.id === noticed.part, () => set(it.id)));
  const unsure = choice(group, t("Not sure"), "", noticed.part === null, () => set(null));
  const box = make("fieldset", { class: "stack" }, make("legend", {}, question(asks)), unsure, rows);
  if (fitting.length >= SEARCHED_FROM) unsure.before(search(group, fitting, rows));
  else if (rows.length > SHOWN_FIRST + 1) foldAway(box, rows);
  return box;
}

/** @param {{words: string, parts: string[]}[]} asks */
function question(asks) {
  return asks.length ? t("Which one do you mean by “{words}”?", { words: asks[0].words }) : t("Which one?");
}

/** @param {HTMLElement} box @param {HTMLElement[]} rows */
function foldAway(box, rows) {
  const shown = rows.some((it) => it.querySelector(":checked")) ? 0 : SHOWN_FIRST; // what was understood is seldom wrong
  const away = rows.filter((it, place) => place >= shown && !it.querySelector(":checked"));
  for (const row of away) row.hidden = true;
  const more = button(t("Show {count} more", { count: away.length }), () => {
    for (const row of away) row.hidden = false;
    more.remove();
    away[0].querySelector("input")?.focus();
  });
  box.append(more);
}

/** @param {string} group @param {Part[]} fitting @param {HTMLElement[]} rows */
function search(group, fitting, rows) {
  const input = /** @type {HTMLInputElement} */ (make("input", { id: `${group}-search`, type: "search", autocomplete: "off", autocapitalize: "none" }));
  const fill = () => {
    const wanted = input.value.trim().toLowerCase();
    rows.forEach((row, place) => {
      const fits = wanted ? `${fitting[place].name} ${fitting[place].id}`.toLowerCase().includes(wanted) : place < SHOWN_FIRST;
      row.hidden = !fits && !row.querySelector(":checked");
    });
  };
  input.addEventListener("input", fill);
  fill();
  return make("div", { class: "field" }, make("label", { for: `${group}-search` }, t("Search {count} parts", { count: fitting.length })), input);
}

/** @param {string} group @param {string} name @param {string} remark @param {boolean} isOn @param {() => void} set */
function choice(group, name, remark, isOn, set) {
  const dot = make("input", { type: "radio", name: group, checked: isOn, onchange: set });
  return make("label", { class: "choice" }, dot, make("span", {}, name, remark && !name.toLowerCase().includes(remark.toLowerCase()) && make("span", { class: "soft" }, `. ${remark}`)));
}
