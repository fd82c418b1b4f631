/** Choose the site, and the time asked about when it is not now. */

import { addressOf } from "../address.js";
import { atSite } from "../case.js";
import { ago, clockOf, dayOf } from "../clock.js";
import { button, fold, link, make } from "../elements.js";
import { sites } from "../known.js";
import { LANGUAGES, languageNow, t } from "../language.js";
import { lastLeft } from "../memory.js";
import { distanceWords, nearestFirst, nearness } from "../nearness.js";
import { newerIsReady, takeNewer } from "../worker_link.js";

/** @import {Context, View} from "../context.js" */
/** @import {SiteSummary} from "../types.js" */

const NONE = "No description";
const SEARCHED_FROM = 8;

/** @param {Context} context @returns {Promise<View>} */
export async function site(context) {
  const found = await context.fetch(sites());
  const rows = make("ul", { class: "plain stack" });
  let wanted = "";
  /** @type {Map<string, number>} */
  let away = new Map();
  const fill = (/** @type {string} */ words) => {
    wanted = words;
    rows.replaceChildren(...nearestFirst(matching(found, words), away).map((it) => row(context, it, away.get(it.id))));
  };
  const near = nearness(context, (/** @type {Map<string, number>} */ known) => {
    away = known;
    fill(wanted);
  });
  fill("");
  return {
    title: t("Where are you?"),
    body: [
      ...newer(),
      ...goOn(context),
      ...(found.length >= SEARCHED_FROM ? [search(fill)] : []),
      ...(found.length > 1 ? near : []),
      found.length ? rows : make("p", {}, t("No site is stored yet. You can go on without a description.")),
      withoutDescription(context),
      timeAsked(context),
      languages(context),
      link(t("Kept on this phone"), addressOf("kept"), "button quiet"),
    ],
  };
}

/** @param {Context} context @param {SiteSummary} it @param {number} [away]  how far, in metres */
function row(context, it, away) {
  const remark = it.demo ? make("span", { class: "remark" }, t("Demo site, to try things out")) : null;
  const kept = it.kept_at ? make("span", { class: "remark" }, t("Kept on this phone {ago}", { ago: ago(Date.now() - it.kept_at) })) : null;
  const near = away === undefined ? null : make("span", { class: "remark" }, distanceWords(away));
  return make("li", {}, make("button", { type: "button", class: "row", onclick: () => choose(context, it.id, it.name) }, it.name, near, remark, kept));
}

/** @param {Context} context */
function languages(context) {
  const choices = Object.entries(LANGUAGES).map(([code, name]) =>
    make("button", { type: "button", lang: code, "aria-pressed": code === languageNow() ? "true" : "false", class: "row", onclick: () => void context.speak(code) }, name));
  return make("section", { class: "stack", "aria-label": t("Language") }, make("div", { class: "pair three" }, choices));
}

/** A case that was left in a tab that is closed now. @param {Context} context */
function goOn(context) {
  const left = context.subject().noticed.length === 0 ? lastLeft() : null;
  if (left === null) return [];
  const [first] = left.noticed.filter((it) => it.kept);
  const remark = make("span", { class: "remark" }, t("{site}. {symptom}. {count} answered", { site: left.siteName ?? "", symptom: first?.name ?? "", count: left.steps.length }));
  const again = () => {
    context.change(left);
    context.go(addressOf(left.steps.length ? "check" : "confirm", left.steps.length || undefined));
  };
  return [make("button", { type: "button", class: "row", onclick: again }, t("Go on with the last case"), remark)];
}

/** A newer version is put in place only here, where no case is open. */
function newer() {
  if (!newerIsReady()) return [];
  return [make("div", { class: "notice" }, make("p", {}, t("A newer version of this page is ready.")), button(t("Load it now"), takeNewer))];
}

/** @param {Context} context */
function withoutDescription(context) {
  const remark = make("span", { class: "remark" }, t("Works for any site; answers are less exact"));
  return make("button", { type: "button", class: "row", onclick: () => choose(context, null, NONE) }, t(NONE), remark);
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
  return make("div", { class: "field" }, make("label", { for: "site-search" }, t("Find a site")), input);
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
  const clear = button(t("Ask about now"), () => set(""));
  const box = fold(asking(input.value), [make("div", { class: "field" }, make("label", { for: "at" }, t("Time asked about, on the site's clock")), input), clear], { open: atChosen });
  return box;
}

/** @param {string} at  empty for now */
function asking(at) {
  return at ? t("Asking about {clock} on {day}. Change", { clock: clockOf(at), day: dayOf(at) }) : t("Asking about now. Change");
}
