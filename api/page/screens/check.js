/** One check: cautions first, where, how, what to expect here, and the answers. */

import { addressOf } from "../address.js";
import { answered, checkToShow, keyOf } from "../case.js";
import { cautionPanels, cautionsOf, mustBeRead, readButton } from "../cautions.js";
import { button, fold, link, make } from "../elements.js";
import { giveAnswer } from "../give_answer.js";
import { english, t } from "../language.js";
import { passOn } from "../pass_on.js";
import { probePicture } from "../probes.js";
import { readingEntry } from "../reading_entry.js";
import { referenceLink } from "../reference_link.js";
import { closed, competenceWord, leadingWords, likelihood, percent, sentence, sentences, time } from "../say.js";
import { standingBriefly } from "../standing.js";
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
  if (mustBeRead(context, shown)) return cautionsFirst(context, address, answer, shown);
  return {
    title: shown.name,
    body: [
      ...standingBriefly(context, answer),
      leading(answer),
      ...cautionsOf(context, shown, "check"),
      facts(shown),
      make("p", english(), shown.why_now),
      ...stillEnglish(),
      howTo(shown),
      ...probePicture(shown.check),
      answers(context, address.count, shown, given),
      ...referenceLink("checks", shown.check),
      ...others(answer, shown, address.count),
      ...wayBack(context, address.count),
      passOn(context, leadingWords(answer)),
    ],
    actions: [make("div", { class: "pair" }, link(t("See causes"), addressOf("causes", address.count)), wayDown(t("Answer"), "question", "answers"))],
  };
}

/** @param {Context} context @param {Address} address @param {Diagnosis} answer @param {Check} shown @returns {View} */
function cautionsFirst(context, address, answer, shown) {
  const wrong = make("div");
  const cannot = () => trying(context, wrong, () => giveAnswer(context, address.count, answered(shown, "cannot", t("Cannot do it"))));
  return {
    title: shown.name,
    body: [...cautionPanels(shown.cautions, "check"), readButton(context, shown.cautions), facts(shown), wrong, button(t("Cannot do it"), () => void cannot()), ...others(answer, shown, address.count), ...wayBack(context, address.count)],
    actions: [make("div", { class: "pair" }, link(t("See causes"), addressOf("causes", address.count)), wayDown(t("Read on"), "read", "read"))],
  };
}

/** @param {Address} address @returns {View} */
function nothingLeft(address) {
  return {
    title: t("No check is left"),
    body: [make("p", {}, t("Nothing more that can be checked here would tell the causes apart. Note what you found and pass the case on."))],
    actions: [link(t("See the causes"), addressOf("causes", address.count), "button main")],
  };
}

/** @param {Check} it */
function facts(it) {
  const rows = /** @type {[string, string][]} */ ([
    [t("At"), it.part_kind === "site" ? "" : sentence(it.where)],
    [t("Stand"), sentence(it.place)],
    [t("Time"), time(it.minutes, it.walk_minutes)],
    [t("Tools"), it.tools.length ? sentence(it.tools.join(", ")) : t("None")],
    [t("Who"), sentence(competenceWord(it.competence))],
  ]);
  return make("dl", { class: "facts" }, rows.filter(([, value]) => value).flatMap(([name, value]) => [make("dt", {}, name), make("dd", {}, value)]));
}

/** @returns {HTMLElement[]} says so where the page speaks another language */
function stillEnglish() {
  return "lang" in english() ? [make("p", { class: "soft" }, t("Some texts are still in English."))] : [];
}

/** @param {Check} it */
function howTo(it) {
  const steps = sentences(it.how);
  return make("section", { class: "stack" }, make("h2", {}, t("How")), make("ol", { class: "steps", ...english() }, steps.map((step) => make("li", {}, step))));
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
    make("p", { class: "expect" }, make("strong", {}, t("Expected here: ")), make("span", english(), closed(shown.expect))),
    shown.unit === null ? null : readingEntry(context, shown.unit, wrong, give),
    wrong,
    make("div", { class: "stack", id: "answers", role: "group", "aria-labelledby": "question" }, shown.outcomes.map((it) => choice(it.id, it.label))),
    make("div", { class: "pair" }, choice("not-sure", t("Not sure")), choice("cannot", t("Cannot do it"))),
  );
}

/** @param {string} id @param {string} label @param {boolean} isEarlier @param {Context} context @param {HTMLElement} wrong @param {() => Promise<void>} give */
function answerButton(id, label, isEarlier, context, wrong, give) {
  const remark = isEarlier ? make("span", { class: "remark" }, t("Your answer")) : null;
  return make("button", { type: "button", class: "row", value: id, "aria-pressed": isEarlier ? "true" : null, onclick: () => void trying(context, wrong, give) }, label, remark);
}

/** @param {Diagnosis} answer @param {Check} shown @param {number} count */
function others(answer, shown, count) {
  const rest = answer.next.filter((it) => keyOf(it) !== keyOf(shown));
  if (rest.length === 0) return [];
  const rows = rest.map((it) => make("li", {}, otherCheck(it, count)));
  return [fold(t("Make another check instead"), [make("ul", { class: "plain stack" }, rows)])];
}

/** @param {Check} it @param {number} count */
function otherCheck(it, count) {
  const remark = make("span", { class: "remark" }, `${sentence(it.where)}, ${time(it.minutes, it.walk_minutes)}`);
  return make("a", { class: "row", href: addressOf("check", count, keyOf(it)) }, it.name, remark);
}

/** @param {Context} context @param {number} count */
function wayBack(context, count) {
  return count > 0 ? [button(t("Undo the last answer"), () => undo(context, count, "check"))] : [];
}

/** @param {Diagnosis} answer */
function leading(answer) {
  const lead = answer.causes[0];
  return make("p", {}, make("span", { class: "soft" }, t("Leading now: ")), `${closed(lead.name)} `, make("strong", {}, `${sentence(likelihood(lead.probability))}, ${percent(lead.probability)}`));
}
