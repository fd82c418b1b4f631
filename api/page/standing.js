/** What is true of the whole case and shown above everything: when automatic works again, and advice. */

import { clockOf, minutesBetween, sayMoment, siteNow } from "./clock.js";
import { button, fold, make } from "./elements.js";
import { english, t } from "./language.js";
import { dropRing, ringSet, setRing } from "./ring.js";

/** @import {Diagnosis} from "./types.js" */

/** @import {Context} from "./context.js" */

const MINUTE_MS = 60_000;

/** @param {Context} context @param {Diagnosis} answer @returns {HTMLElement[]} */
export function standing(context, answer) {
  const resumes = resuming(context, answer);
  const notice = resumes && make("div", { class: "notice" }, make("p", {}, make("strong", {}, resumes.says)), resumes.more);
  return [...(notice ? [notice] : []), ...advice(answer)];
}

/** @param {Context} context @param {Diagnosis} answer @returns {HTMLElement[]} the same, with advice that was shown before folded away */
export function standingBriefly(context, answer) {
  const says = answer.advice.map((it) => make("p", english(), it.says));
  const folded = says.length ? [fold(t("Take note ({count})", { count: says.length }), says, { look: "folded-caution" })] : [];
  const resumes = resuming(context, answer);
  return [...(resumes ? [fold(resumes.says, resumes.more, { look: "folded-notice" })] : []), ...folded];
}

/** @param {Context} context @param {Diagnosis} answer @returns {{says: string, more: HTMLElement[]}|null} when automatic works again, and the bell for it */
function resuming(context, answer) {
  if (answer.resumes_at === null) return null;
  const moment = sayMoment(answer.resumes_at, answer.at);
  const subject = context.subject();
  const now = siteNow(subject, Date.now()) ?? answer.at;
  const left = now === null ? 0 : minutesBetween(now, answer.resumes_at);
  const says = t("Automatic works again at {moment}.", { moment });
  const asked = answer.at === null ? [] : [make("p", {}, t("Worked out at {clock}.", { clock: clockOf(answer.at) }))];
  const bell = subject.atChosen || left <= 0 ? [] : [ringer(says, left)];
  return { says, more: [...asked, ...bell] };
}

/** @param {string} says @param {number} minutes */
function ringer(says, minutes) {
  const holder = make("div", { class: "stack" });
  const draw = () => {
    const set = ringSet();
    if (set === null) return holder.replaceChildren(button(t("Ring in {count} min", { count: Math.ceil(minutes) }), () => start()));
    return holder.replaceChildren(make("p", { role: "status" }, t("It rings then, as long as this page is open.")), button(t("Do not ring"), () => stop()));
  };
  const start = () => {
    setRing({ at: Date.now() + minutes * MINUTE_MS, says });
    draw();
  };
  const stop = () => {
    dropRing();
    draw();
  };
  draw();
  return holder;
}

/** @param {Diagnosis} answer */
function advice(answer) {
  if (answer.advice.length === 0) return [];
  const says = answer.advice.map((it) => make("p", english(), it.says));
  return [make("section", { class: "caution", "aria-label": t("Take note") }, make("h2", {}, t("Take note")), says)];
}
