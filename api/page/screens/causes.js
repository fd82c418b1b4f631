/** Show the likely causes and lead on to the next check or to the repair. */

import { addressOf } from "../address.js";
import { keyOf } from "../case.js";
import { causeList } from "../cause_list.js";
import { clockOf, dayOf } from "../clock.js";
import { button, fold, link, make } from "../elements.js";
import { t } from "../language.js";
import { lastMoved } from "../last_moved.js";
import { passOn } from "../pass_on.js";
import { planLine } from "../plan_line.js";
import { recordOpening } from "../recording.js";
import { standing } from "../standing.js";
import { leadingWords, time } from "../say.js";
import { stillEnglish } from "../still_english.js";
import { undo } from "../undo.js";
import { whoIsThere } from "../who_is_there.js";
import { whyNot } from "../why_not.js";

/** @import {Context, View} from "../context.js" */
/** @import {Address, Check, Diagnosis} from "../types.js" */

/** @param {Context} context @param {Address} address @returns {Promise<View>} */
export async function causes(context, address) {
  const answer = await context.diagnose(context.subject(), address.count);
  const again = async () => {
    context.change(await recordOpening(context.subject()));
    context.go(addressOf("causes", address.count));
  };
  const bar = actions(answer, address.count);
  return {
    title: t("Likely causes"),
    body: [
      ...standing(context, answer),
      make("section", { class: "stack", "aria-label": t("Causes, most likely first") }, causeList(answer.causes)),
      planLine(context, answer, address.count, bar.lead),
      ...stillEnglish(),
      whoIsThere(context, answer, () => context.replace(addressOf("causes", address.count))),
      whyNot(context, address.count),
      lastMoved(context, again),
      ...asked(context, again),
      ...soFar(context, address.count),
      passOn(context, leadingWords(answer)),
    ],
    actions: bar.all,
  };
}

/** @param {Diagnosis} answer @param {number} count @returns {{all: HTMLElement[], lead: (best: Check) => void}} the actions, and what makes another check the main one */
function actions(answer, count) {
  const [next] = answer.next;
  const toCheck = next && link(checkWords(next), addressOf("check", count), answer.repair ? "button" : "button main");
  const toRepair = answer.repair && link(t("Repair and proof"), addressOf("repair", count), "button main");
  const all = [toCheck, toRepair].filter((it) => it !== null && it !== undefined);
  if (all.length === 0) return { all: [make("p", {}, t("No check is left that would tell more. Note what you found and pass the case on."))], lead() {} };
  return { all, lead: (best) => toCheck && leadTo(toCheck, best, count) };
}

/** @param {Check} it */
function checkWords(it) {
  return t("Next check: {name} ({time})", { name: it.name, time: time(it.minutes + it.walk_minutes) });
}

/** @param {HTMLElement} toCheck  changed in place, so that it stays under the thumb and keeps the focus @param {Check} best @param {number} count */
function leadTo(toCheck, best, count) {
  toCheck.setAttribute("href", addressOf("check", count, keyOf(best)));
  toCheck.replaceChildren(checkWords(best));
}

/** @param {Context} context @param {() => void} again */
function asked(context, again) {
  const { at, atChosen } = context.subject();
  if (at === null) return [];
  const says = make("p", { class: "soft" }, t("Asked about {clock} on {day}.", { clock: clockOf(at), day: dayOf(at) }));
  const renew = button(t("Ask again for now"), () => {
    context.change({ ...context.subject(), at: null, heardAt: null });
    again();
  });
  return atChosen ? [says] : [says, renew];
}

/** @param {Context} context @param {number} count */
function soFar(context, count) {
  const steps = context.subject().steps.slice(0, count);
  if (steps.length === 0) return [];
  const rows = steps.map((it) => make("li", {}, `${it.asked}: ${it.said}`));
  return [fold(t("Your answers ({count})", { count: steps.length }), [make("ol", {}, rows), button(t("Undo the last answer"), () => undo(context, count, "causes"))])];
}
