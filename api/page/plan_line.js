/** The best step now, as the service plans it: minutes to a proved repair, answers to look at again, two faults at once. */

import { addressOf } from "./address.js";
import { keyOf } from "./case.js";
import { fold, link, make } from "./elements.js";
import { english, languageNow, t } from "./language.js";
import { requestOf } from "./request.js";
import { sentence, time } from "./say.js";
import { Trouble, diagnose } from "./server.js";
import { twoFaults } from "./two_faults.js";
import { worthAsking } from "./offline/signal.js";

/** @import {Context} from "./context.js" */
/** @import {BestStep, Case, Check, Choice, Diagnosis, Plan} from "./types.js" */

const PATIENCE_MS = 15_000;

/**
 * @param {Context} context
 * @param {Diagnosis} answer  that is shown
 * @param {number} count  steps that count
 * @param {(best: Check) => void} lead  told which check is the best step, where it is one that can be shown
 * @returns {HTMLElement} fills itself once the service has answered; stays empty without a signal
 */
export function planLine(context, answer, count, lead) {
  const place = make("div", { class: "stack", "data-plan": true });
  if (worthAsking()) void fill(place, context, answer, count, lead);
  return place;
}

/** @param {HTMLElement} place @param {Context} context @param {Diagnosis} shownNow @param {number} count @param {(best: Check) => void} lead */
async function fill(place, context, shownNow, count, lead) {
  const subject = context.subject();
  try {
    const answer = /** @type {{plan?: Plan|null}} */ (await diagnose({ ...requestOf(subject, count), language: languageNow(), plan: true }, PATIENCE_MS));
    if (!answer.plan || context.subject().steps.length !== subject.steps.length) return;
    place.replaceChildren(...shown(answer.plan, subject, shownNow, count));
    const best = offered(answer.plan.step, shownNow);
    if (best) lead(best);
  } catch (error) {
    if (!(error instanceof Trouble)) throw error; // without a plan the next check is still there
  }
}

/** @param {Plan} plan @param {Case} subject @param {Diagnosis} shownNow @param {number} count */
function shown(plan, subject, shownNow, count) {
  return [
    make("section", { class: "notice", "aria-label": t("Best step now") }, make("h2", {}, t("Best step now")), stepName(plan.step), make("p", english(), plan.step.says), ...orNext(plan.step, shownNow, count), ...otherwise(plan.otherwise)),
    ...plan.doubtful.map((it) => make("p", { class: "notice" }, make("strong", {}, t("Look again: ")), make("span", english(), it.says), " ", toAnswer(subject, it))),
    ...twoFaults(plan.pairs, shownNow.causes[0].probability),
  ];
}

/** @param {BestStep} step @param {Diagnosis} shownNow @returns {Check|undefined} the step as one of the checks that can be shown */
function offered(step, shownNow) {
  return shownNow.next.find((it) => step.check && keyOf(it) === keyOf(step.check));
}

/** @param {BestStep} step @param {Diagnosis} shownNow @param {number} count @returns {HTMLElement[]} the check that tells most for its minutes, where that is another one */
function orNext(step, shownNow, count) {
  const [next] = shownNow.next;
  if (!next || offered(step, shownNow) === next) return [];
  const words = t("Or: {name}, {time}", { name: next.name, time: time(next.minutes, next.walk_minutes) });
  return [link(words, addressOf("check", count, keyOf(next)), "button quiet")];
}

/** @param {Case} subject @param {Plan["doubtful"][0]} it @returns {HTMLElement|null} back to where it was answered */
function toAnswer(subject, it) {
  const place = subject.steps.findIndex((step) => step.kind === "answer" && step.check === it.check && step.part === it.part);
  return place < 0 ? null : link(t("To that answer"), addressOf("check", place));
}

/** @param {BestStep} step */
function stepName(step) {
  const remark = make("span", { class: "remark" }, [sentence(step.where), t("about {length} to a proved repair", { length: time(step.minutes) })].filter(Boolean).join(", "));
  return make("p", {}, make("strong", {}, step.name), " ", remark);
}

/** @param {Choice[]} others */
function otherwise(others) {
  if (others.length === 0) return [];
  return [fold(t("If that cannot be done"), [make("ul", {}, others.map((it) => make("li", {}, `${it.name}${it.where ? `, ${it.where}` : ""}: ${time(it.minutes)}`)))], { look: "small" })];
}
