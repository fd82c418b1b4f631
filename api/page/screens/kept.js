/** What this phone keeps for the time without a signal, and what waits to be sent. */

import { ago } from "../clock.js";
import { button, make } from "../elements.js";
import { t } from "../language.js";
import { forgetSite, keepSite, keptSites } from "../offline/keeper.js";
import { discard, sendAll, waiting } from "../offline/outbox.js";
import { outlivesTab } from "../offline/store.js";
import { canKeepPage } from "../worker_link.js";

/** @import {Context, View} from "../context.js" */
/** @import {Waiting} from "../offline/outbox.js" */

const COVERS = [
  "The sites above: one symptom from the list, at any part, with the last time it was moved by hand.",
  "A case begun with a signal goes on whole.",
  "Typed words lead to the list of symptoms; they are fully understood only with a signal.",
  "Time programmes and lockouts by the clock stay as they were when the site was kept.",
];

/** @param {Context} context @returns {Promise<View>} */
export async function kept(context) {
  const [sites, queue, lasts] = await Promise.all([keptSites(), waiting(), outlivesTab()]);
  const again = () => context.replace("#/kept");
  return {
    title: t("On this phone"),
    body: [...limits(lasts), unsent(queue, again), packs(sites, again), make("section", { class: "stack" }, make("h2", {}, t("What works without a signal")), make("ul", {}, COVERS.map((it) => make("li", {}, t(it)))))],
    actions: queue.length ? [button(t("Send now"), () => void context.once(async () => sendAll().then(again)), "main")] : [],
  };
}

/** @param {boolean} lasts */
function limits(lasts) {
  if (canKeepPage() && lasts) return [];
  const says = canKeepPage() ? t("This browser keeps nothing once the tab is closed. Leave private mode to keep sites.") : t("This address has no lock (https), so the browser keeps nothing for the time without a signal. Ask who runs the service for a secure address.");
  return [make("p", { class: "notice" }, says)];
}

/** @param {[IDBValidKey, Waiting][]} queue @param {() => void} again */
function unsent(queue, again) {
  const rows = queue.map(([place, it]) => make("li", { class: it.refused ? "error" : "waits" }, make("p", {}, it.says), ...refusal(place, it, again)));
  const none = make("p", { class: "soft" }, t("Everything has reached the service."));
  return make("section", { class: "stack" }, make("h2", {}, queue.length ? t("Not sent yet ({count})", { count: queue.length }) : t("Nothing waits")), queue.length ? make("ol", { class: "plain stack" }, rows) : none);
}

/** @param {IDBValidKey} place @param {Waiting} it @param {() => void} again */
function refusal(place, it, again) {
  if (it.refused === null) return [];
  return [make("p", {}, t("The service did not take it: {why}", { why: it.refused })), button(t("Throw it away"), () => void discard(place).then(again))];
}

/** @param {{id: string, name: string, at: number}[]} sites @param {() => void} again */
function packs(sites, again) {
  const rows = sites.map((it) => make("li", { class: "stack" }, make("p", {}, make("strong", {}, it.name), t(", kept {ago}", { ago: ago(Date.now() - it.at) })), buttons(it.id, again)));
  const none = make("p", { class: "soft" }, t("No site yet. A site is kept when you open it with a signal."));
  return make("section", { class: "stack" }, make("h2", {}, t("Sites kept")), rows.length ? make("ul", { class: "plain stack" }, rows) : none);
}

/** @param {string} id @param {() => void} again */
function buttons(id, again) {
  return make("div", { class: "pair" }, button(t("Fetch again"), () => void keepSite(id).then(again)), button(t("Remove"), () => void forgetSite(id).then(again)));
}
