/** What was found and proved, to read out or to copy into the records. */

import { addressOf } from "../address.js";
import { newCase } from "../case.js";
import { clockOf, dayOf } from "../clock.js";
import { button, make } from "../elements.js";
import { sentence } from "../say.js";

/** @import {Context, View} from "../context.js" */
/** @import {Case} from "../types.js" */

/** @param {Context} context @returns {View} */
export function done(context) {
  const subject = context.subject();
  return {
    title: "Proved and done",
    body: [summary(subject), make("p", {}, "Write it into the site's records before you leave.")],
    actions: [
      button("Start a new case", () => {
        context.change(newCase());
        context.go(addressOf("site"));
      }, "main"),
    ],
  };
}

/** @param {Case} subject */
function summary(subject) {
  const sections = /** @type {[string, string[]][]} */ ([
    ["Site", [subject.siteName ?? ""]],
    ["When", [subject.at ? `${clockOf(subject.at)} on ${dayOf(subject.at)}` : ""]],
    ["Symptom", subject.noticed.filter((it) => it.kept).map((it) => it.name)],
    ["Found", subject.steps.map((it) => `${it.asked}: ${it.said}`)],
    ["Cause", [subject.proved ? `${subject.proved.name}. ${sentence(subject.proved.where)}.` : ""]],
    ["Proved by", subject.proved?.proof ?? []],
  ]);
  const filled = sections.map(([title, lines]) => [title, lines.filter(Boolean)]).filter(([, lines]) => lines.length);
  return make("div", { class: "stack" }, filled.map(([title, lines]) => section(/** @type {string} */ (title), /** @type {string[]} */ (lines))));
}

/** @param {string} title @param {string[]} lines */
function section(title, lines) {
  const text = lines.length === 1 ? make("p", {}, lines[0]) : make("ul", {}, lines.map((it) => make("li", {}, it)));
  return make("section", {}, make("h2", {}, title), text);
}
