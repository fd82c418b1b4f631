/** Choose the site, and the time asked about when it is not now. */

import { addressOf } from "../address.js";
import { atSite } from "../case.js";
import { clockOf, dayOf } from "../clock.js";
import { button, fold, make } from "../elements.js";
import { sites } from "../server.js";

/** @import {Context, View} from "../context.js" */
/** @import {SiteSummary} from "../types.js" */

const NONE = "No description";
const SEARCHED_FROM = 8;

/** @param {Context} context @returns {Promise<View>} */
export async function site(context) {
  const found = await context.fetch(sites());
  const rows = make("ul", { class: "plain stack" });
  const fill = (/** @type {string} */ words) => rows.replaceChildren(...matching(found, words).map((it) => row(context, it)));
  fill("");
  return {
    title: "Where are you?",
    body: [
      ...(found.length >= SEARCHED_FROM ? [search(fill)] : []),
      found.length ? rows : make("p", {}, "No site is stored yet. You can go on without a description."),
      withoutDescription(context),
      timeAsked(context),
    ],
  };
}

/** @param {Context} context @param {SiteSummary} it */
function row(context, it) {
  const remark = it.demo ? make("span", { class: "remark" }, "Demo site, to try things out") : null;
  return make("li", {}, make("button", { type: "button", class: "row", onclick: () => choose(context, it.id, it.name) }, it.name, remark));
}

/** @param {Context} context */
function withoutDescription(context) {
  const remark = make("span", { class: "remark" }, "Works for any site; answers are less exact");
  return make("button", { type: "button", class: "row", onclick: () => choose(context, null, NONE) }, NONE, remark);
}

/** @param {Context} context @param {string|null} id @param {string} name */
function choose(context, id, name) {
  context.change(atSite(context.subject(), id, name));
  context.go(addressOf("symptom"));
}

/** @param {(words: string) => void} fill */
function search(fill) {
  const input = make("input", { id: "site-search", type: "search", autocomplete: "off" });
  input.addEventListener("input", () => fill(/** @type {HTMLInputElement} */ (input).value));
  return make("div", { class: "field" }, make("label", { for: "site-search" }, "Find a site"), input);
}

/** @param {SiteSummary[]} found @param {string} words */
function matching(found, words) {
  const wanted = words.trim().toLowerCase();
  return found.filter((it) => it.name.toLowerCase().includes(wanted));
}

/** @param {Context} context */
function timeAsked(context) {
  const { at, atChosen } = context.subject();
  const input = /** @type {HTMLInputElement} */ (make("input", { id: "at", type: "datetime-local" }));
  input.value = atChosen ? (at ?? "").slice(0, 16) : "";
  const set = (/** @type {string} */ value) => {
    context.change({ ...context.subject(), at: value || null, atChosen: value !== "", heardAt: null });
    input.value = value;
    box.querySelector("summary")?.replaceChildren(asking(value));
  };
  input.addEventListener("change", () => set(input.value));
  const clear = button("Ask about now", () => set(""));
  const box = fold(asking(input.value), [make("div", { class: "field" }, make("label", { for: "at" }, "Time asked about, on the site's clock"), input), clear], { open: atChosen });
  return box;
}

/** @param {string} at  empty for now */
function asking(at) {
  return at ? `Asking about ${clockOf(at)} on ${dayOf(at)}. Change` : "Asking about now. Change";
}
