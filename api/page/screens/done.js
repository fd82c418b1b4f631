/** What was found and proved, to read out or to copy into the records. */

import { addressOf } from "../address.js";
import { newCase } from "../case.js";
import { button, make } from "../elements.js";
import { t } from "../language.js";
import { printSummary } from "../paper.js";
import { share } from "../share.js";
import { summaryOf, summaryText } from "../summary.js";

/** @import {Context, View} from "../context.js" */
/** @import {Case} from "../types.js" */

/** @param {Context} context @returns {View} */
export function done(context) {
  const subject = context.subject();
  const says = make("div", { "aria-live": "polite" });
  return {
    title: t("Proved and done"),
    body: [summary(subject), make("p", {}, t("Write it into the site's records before you leave.")), says],
    actions: [
      make("div", { class: "pair" }, button(t("Share as text"), () => void share(summaryText(subject), says)), button(t("Print or save as PDF"), () => printSummary(t("Proved and done"), summaryOf(subject)))),
      button(t("Start a new case"), () => {
        context.change(newCase());
        context.go(addressOf("site"));
      }, "main"),
    ],
  };
}

/** @param {Case} subject */
function summary(subject) {
  return make("div", { class: "stack" }, summaryOf(subject).map(([title, lines]) => section(title, lines)));
}

/** @param {string} title @param {string[]} lines */
function section(title, lines) {
  const text = lines.length === 1 ? make("p", {}, lines[0]) : make("ul", {}, lines.map((it) => make("li", {}, it)));
  return make("section", {}, make("h2", {}, title), text);
}
