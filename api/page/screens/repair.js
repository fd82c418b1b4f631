/** The repair of the leading cause and how to prove it. */

import { addressOf } from "../address.js";
import { tried } from "../case.js";
import { bar, odds } from "../cause_list.js";
import { cautionPanels, cautionsOf, mustBeRead, readButton } from "../cautions.js";
import { button, fold, link, make } from "../elements.js";
import { giveAnswer } from "../give_answer.js";
import { english, t } from "../language.js";
import { reasonList } from "../reasons.js";
import { recordProof } from "../recording.js";
import { competenceWord, sentence, time } from "../say.js";
import { standingBriefly } from "../standing.js";
import { stillEnglish } from "../still_english.js";
import { trying } from "../trouble.js";
import { undo } from "../undo.js";
import { wayDown } from "../way_down.js";
import { causes } from "./causes.js";

/** @import {Context, View} from "../context.js" */
/** @import {Address, Diagnosis, Repair} from "../types.js" */

/** @param {Context} context @param {Address} address @returns {Promise<View>} */
export async function repair(context, address) {
  const answer = await context.diagnose(context.subject(), address.count);
  const shown = answer.repair;
  if (!shown) return causes(context, address);
  if (mustBeRead(context, shown)) {
    return { title: shown.name, body: [...leading(answer, shown), ...cautionPanels(shown.cautions, "start"), readButton(context, shown.cautions), facts(shown)], actions: [make("div", { class: "pair" }, link(t("See causes"), addressOf("causes", address.count)), wayDown(t("Read on"), "read", "read"))] };
  }
  const wrong = make("div");
  return {
    title: shown.name,
    body: [
      ...standingBriefly(context, answer),
      ...leading(answer, shown),
      ...cautionsOf(context, shown, "start"),
      facts(shown),
      steps(t("What to do"), shown.steps),
      steps(t("Prove it"), shown.proof, "proof"),
      wrong,
      verdict(context, address.count, shown, wrong),
      ...stillEnglish(),
      make("div", { class: "quietly" }, ...onward(context, answer, address.count)),
    ],
    actions: [make("div", { class: "pair" }, link(t("See causes"), addressOf("causes", address.count)), wayDown(t("Prove it"), "proof", "verdict"))],
  };
}

/** @param {Diagnosis} answer @param {Repair} shown */
function leading(answer, shown) {
  const cause = answer.causes.find((it) => it.id === shown.cause && it.part === shown.part);
  if (!cause) return [];
  return [make("div", {}, make("p", { class: "soft" }, sentence(shown.where)), bar(cause.probability), odds(cause.probability), fold(t("Why"), [reasonList(cause.why)], { look: "small" }))];
}

/** @param {Repair} it */
function facts(it) {
  const rows = [[t("Time"), time(it.minutes)], [t("Who"), sentence(competenceWord(it.competence))]];
  return make("dl", { class: "facts" }, rows.flatMap(([name, value]) => [make("dt", {}, name), make("dd", {}, value)]));
}

/** @param {string} title @param {string[]} lines @param {string|null} [id] */
function steps(title, lines, id = null) {
  return make("section", { class: "stack" }, make("h2", { id, tabindex: -1 }, title), make("ol", { class: "steps", ...english() }, lines.map((it) => make("li", {}, it))));
}

/** @param {Context} context @param {number} count @param {Repair} shown @param {HTMLElement} wrong */
function verdict(context, count, shown, wrong) {
  const inVain = button(t("Still there"), () => void trying(context, wrong, () => giveAnswer(context, count, tried(shown))));
  return make("div", { class: "pair", id: "verdict" }, inVain, button(t("Proved"), () => finish(context, count, shown), "main"));
}

/** @param {Context} context @param {Diagnosis} answer @param {number} count */
function onward(context, answer, count) {
  const more = answer.next.length ? [link(t("Check more first"), addressOf("check", count))] : [];
  const back = count > 0 ? [button(t("Undo the last answer"), () => undo(context, count, "check"))] : [];
  return [...more, ...back];
}

/** @param {Context} context @param {number} count @param {Repair} shown */
function finish(context, count, shown) {
  const before = context.subject();
  void recordProof(before, shown);
  context.change({ ...before, steps: before.steps.slice(0, count), proved: { name: shown.name, where: shown.where, proof: shown.proof } });
  context.go(addressOf("done", count));
}
