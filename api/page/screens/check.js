/** One check: cautions first, where, how, what to expect here, and the answers. */

import { addressOf } from "../address.js";
import { answered, checkToShow, keyOf } from "../case.js";
import { cautionPanels } from "../cautions.js";
import { button, fold, link, make } from "../elements.js";
import { giveAnswer } from "../give_answer.js";
import { readingEntry } from "../reading_entry.js";
import { referenceLink } from "../reference_link.js";
import { closed, competenceWord, likelihood, percent, sentence, sentences, time } from "../say.js";
import { standing } from "../standing.js";
import { trying } from "../trouble.js";
import { undo } from "../undo.js";
import { wayDown } from "../way_down.js";

/** @import {Context, View} from "../context.js" */
/** @import {Address, Check, Diagnosis, Step} from "../types.js" */

/** @param {Context} context @param {Address} address @returns {Promise<View>} */
export async function check(context, address) {
  const subject = context.subject();
  const answer = await context.diagnose(subject, address.count);
  const given = subject.steps[address.count];
  const shown = checkToShow(answer, address.check, given);
  if (!shown) return nothingLeft(address);
  return {
    title: shown.name,
    body: [
      ...standing(answer),
      leading(answer),
      ...cautionPanels(shown.cautions, "check"),
      facts(shown),
      make("p", {}, shown.why_now),
      howTo(shown),
      answers(context, address.count, shown, given),
      ...referenceLink("checks", shown.check),
      ...others(answer, shown, address.count),
      ...wayBack(context, address.count),
    ],
    actions: [make("div", { class: "pair" }, link("See causes", addressOf("causes", address.count)), wayDown("Answer", "question", "answers"))],
  };
}

/** @param {Address} address @returns {View} */
function nothingLeft(address) {
  return {
    title: "No check is left",
    body: [make("p", {}, "Nothing more that can be checked here would tell the causes apart. Note what you found and pass the case on.")],
    actions: [link("See the causes", addressOf("causes", address.count), "button main")],
  };
}

/** @param {Check} it */
function facts(it) {
  const rows = /** @type {[string, string][]} */ ([
    ["At", it.part_kind === "site" ? "" : sentence(it.where)],
    ["Stand", sentence(it.place)],
    ["Time", time(it.minutes, it.walk_minutes)],
    ["Tools", it.tools.length ? sentence(it.tools.join(", ")) : "None"],
    ["Who", sentence(competenceWord(it.competence))],
  ]);
  return make("dl", { class: "facts" }, rows.filter(([, value]) => value).flatMap(([name, value]) => [make("dt", {}, name), make("dd", {}, value)]));
}

/** @param {Check} it */
function howTo(it) {
  const steps = sentences(it.how);
  return make("section", { class: "stack" }, make("h2", {}, "How"), make("ol", { class: "steps" }, steps.map((step) => make("li", {}, step))));
}

/** @param {Context} context @param {number} count @param {Check} shown @param {Step|undefined} given */
function answers(context, count, shown, given) {
  const wrong = make("div");
  const earlier = given?.kind === "answer" && keyOf(/** @type {any} */ (given)) === keyOf(shown) ? given.outcome : null;
  const give = (/** @type {string} */ outcome, /** @type {string} */ said) => giveAnswer(context, count, answered(shown, outcome, said));
  const choice = (/** @type {string} */ id, /** @type {string} */ label) => answerButton(id, label, id === earlier, context, wrong, () => give(id, label));
  return make(
    "section",
    { class: "stack", "data-check": shown.check },
    make("h2", { class: "question", id: "question", tabindex: -1 }, shown.question),
    make("p", { class: "expect" }, make("strong", {}, "Expected here: "), closed(shown.expect)),
    shown.unit === null ? null : readingEntry(context, shown.unit, wrong, give),
    wrong,
    make("div", { class: "stack", id: "answers", role: "group", "aria-labelledby": "question" }, shown.outcomes.map((it) => choice(it.id, it.label))),
    make("div", { class: "pair" }, choice("not-sure", "Not sure"), choice("cannot", "Cannot do it")),
  );
}

/** @param {string} id @param {string} label @param {boolean} isEarlier @param {Context} context @param {HTMLElement} wrong @param {() => Promise<void>} give */
function answerButton(id, label, isEarlier, context, wrong, give) {
  const remark = isEarlier ? make("span", { class: "remark" }, "Your answer") : null;
  return make("button", { type: "button", class: "row", value: id, "aria-pressed": isEarlier ? "true" : null, onclick: () => void trying(context, wrong, give) }, label, remark);
}

/** @param {Diagnosis} answer @param {Check} shown @param {number} count */
function others(answer, shown, count) {
  const rest = answer.next.filter((it) => keyOf(it) !== keyOf(shown));
  if (rest.length === 0) return [];
  const rows = rest.map((it) => make("li", {}, otherCheck(it, count)));
  return [fold("Make another check instead", [make("ul", { class: "plain stack" }, rows)])];
}

/** @param {Check} it @param {number} count */
function otherCheck(it, count) {
  const remark = make("span", { class: "remark" }, `${sentence(it.where)}, ${time(it.minutes, it.walk_minutes)}`);
  return make("a", { class: "row", href: addressOf("check", count, keyOf(it)) }, it.name, remark);
}

/** @param {Context} context @param {number} count */
function wayBack(context, count) {
  return count > 0 ? [button("Undo the last answer", () => undo(context, count, "check"))] : [];
}

/** @param {Diagnosis} answer */
function leading(answer) {
  const lead = answer.causes[0];
  return make("p", {}, make("span", { class: "soft" }, "Leading now: "), `${closed(lead.name)} `, make("strong", {}, `${sentence(likelihood(lead.probability))}, ${percent(lead.probability)}`));
}
