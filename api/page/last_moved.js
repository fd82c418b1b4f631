/** Note when something was last moved by hand: automatic may wait after that. */

import { lastAt, sayMoment, shifted, siteNow } from "./clock.js";
import { button, fold, make } from "./elements.js";
import { t } from "./language.js";

/** @import {Context} from "./context.js" */
/** @import {Case} from "./types.js" */

const AGO = [5, 15, 30, 60];

/**
 * @param {Context} context
 * @param {() => void} changed  called after each change
 * @returns {HTMLElement}
 */
export function lastMoved(context, changed) {
  const holder = make("div");
  const draw = (/** @type {boolean} */ open) => holder.replaceChildren(entry(context, set, open));
  const set = (/** @type {string|null} */ at) => {
    context.change(withCommand(context.subject(), at, Date.now()));
    draw(false);
    holder.querySelector("summary")?.focus();
    changed();
  };
  draw(false);
  return holder;
}

/**
 * @param {Case} before
 * @param {string|null} at  null for not known
 * @param {number} phone  this phone's clock in milliseconds
 * @returns {Case} the case with the last manual command; when it asks about now, now moves on
 */
export function withCommand(before, at, phone) {
  const others = before.commands.filter((it) => it.command !== "manual");
  const commands = at === null ? others : [...others, { at, command: "manual", part: null }];
  const now = siteNow(before, phone);
  return { ...before, commands, at: now, heardAt: before.atChosen || now === null ? before.heardAt : phone };
}

/** @param {Context} context @param {(at: string|null) => void} set @param {boolean} open */
function entry(context, set, open) {
  const subject = context.subject();
  const now = siteNow(subject, Date.now());
  const last = subject.commands.filter((it) => it.command === "manual").at(-1);
  const title = last ? t("Last moved by hand: {when}. Change", { when: sayMoment(last.at, now) }) : t("Last moved by hand: not told. Add");
  if (now === null) return make("p", { class: "soft" }, title);
  return fold(title, [quick(now, set), exact(now, set), last && button(t("Not known"), () => set(null))], { open });
}

/** @param {string} now @param {(at: string) => void} set */
function quick(now, set) {
  const buttons = AGO.map((minutes) => button(t("{count} min ago", { count: minutes }), () => set(shifted(now, -minutes))));
  return make("div", { class: "pair", role: "group", "aria-label": t("How long ago") }, buttons);
}

/** @param {string} now @param {(at: string) => void} set */
function exact(now, set) {
  const input = /** @type {HTMLInputElement} */ (make("input", { id: "moved-at", type: "time", required: true }));
  const save = button(t("Set"), () => {
    if (input.value) set(lastAt(input.value, now));
    else input.focus();
  });
  return make("div", { class: "field" }, make("label", { for: "moved-at" }, t("Or the time of day")), make("div", { class: "number" }, input, save));
}
