/** One check: the question, where, cautions, how, what to expect here, and the answers; the rest is quieter and below. */

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
import { stillEnglish } from "../still_english.js";
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
    titleIs: english(),
    body: [
      make("div", { class: "stack close" }, asks(shown), ...facts(shown)),
      ...standingBriefly(context, answer),
      ...cautionsOf(context, shown, "check"),
      howTo(shown),
      ...probePicture(shown.check),
      answers(context, address.count, shown, given),
      ...stillEnglish(),
      make("div", { class: "quietly" }, whyThis(answer, shown), ...others(answer, shown, address.count), ...wayBack(context, address.count), ...referenceLink("checks", shown.check), passOn(context, leadingWords(answer))),
    ],
    actions: [make("div", { class: "pair" }, link(t("See causes"), addressOf("causes", address.count)), wayDown(t("Answer"), "answer", "answers"))],
  };
}

/** @param {Context} context @param {Address} address @param {Diagnosis} answer @param {Check} shown @returns {View} */
function cautionsFirst(context, address, answer, shown) {
  const wrong = make("div");
  const cannot = () => trying(context, wrong, () => giveAnswer(context, address.count, answered(shown, "cannot", t("Cannot do it"))));
  return {
    title: shown.name,
    titleIs: english(),
    body: [...cautionPanels(shown.cautions, "check"), readButton(context, shown.cautions), ...facts(shown), wrong, button(t("Cannot do it"), () => void cannot()), make("div", { class: "quietly" }, ...others(answer, shown, address.count), ...wayBack(context, address.count))],
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

/** @param {Check} it @returns {HTMLElement} the question, near the top */
function asks(it) {
  return make("h2", { class: "question", id: "question" }, it.question);
}

/** @param {Check} it @returns {HTMLElement[]} where on one line; how long, with what and who on another */
function facts(it) {
  const tools = it.tools.length ? t("tools: {tools}", { tools: it.tools.join(", ") }) : t("no tools");
  const where = whereabouts(it);
  return [...(where ? [make("p", {}, make("strong", {}, where))] : []), make("p", { class: "soft" }, [time(it.minutes, it.walk_minutes), tools, competenceWord(it.competence)].join(", "))];
}

/** @param {Check} it */
function whereabouts(it) {
  const name = it.part_kind === "site" ? "" : sentence(it.where);
  const place = sentence(it.place);
  if (name && place) return t("{name}. Place: {place}.", { name, place });
  return place ? t("Place: {place}.", { place }) : name;
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
  const doubt = /** @type {HTMLInputElement} */ (make("input", { type: "checkbox", id: "think-so", checked: earlier !== null && given?.kind === "answer" && given.certainty === "think-so" }));
  const give = (/** @type {string} */ outcome, /** @type {string} */ said) => giveAnswer(context, count, answered(shown, outcome, said, doubt.checked ? "think-so" : "sure"));
  const choice = (/** @type {string} */ id, /** @type {string} */ label) => answerButton(id, label, id === earlier, context, wrong, () => give(id, label));
  return make(
    "section",
    { class: "stack", "data-check": shown.check },
    make("p", { class: "expect", id: "answer", tabindex: -1 }, make("strong", {}, t("Expected here: ")), make("span", english(), closed(shown.expect))),
    shown.unit === null ? null : readingEntry(context, shown.unit, wrong, give),
    wrong,
    make("div", { class: "stack answers", id: "answers", role: "group", "aria-labelledby": "question" }, shown.outcomes.map((it) => choice(it.id, it.label))),
    make("div", { class: "pair" }, choice("not-sure", t("Not sure")), choice("cannot", t("Cannot do it"))),
    make("label", { class: "choice quiet" }, doubt, make("span", {}, t("I only think so: let it count less"))),
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
  return [fold(t("Choose another check"), [make("ul", { class: "plain stack" }, rows)])];
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

/** @param {Diagnosis} answer @param {Check} shown @returns {HTMLElement} what leads now and what the check tells apart */
function whyThis(answer, shown) {
  const lead = answer.causes[0];
  const leads = make("p", {}, make("span", { class: "soft" }, t("Leading now: ")), `${closed(lead.name)} `, make("strong", {}, `${sentence(likelihood(lead.probability))}, ${percent(lead.probability)}`));
  return fold(t("Why this check"), [leads, make("p", english(), shown.why_now)]);
}
