/** A practice call-out: read the report, choose checks with their precautions, mend a cause, prove it, and see both ways. */

import { button, link, make } from "../elements.js";
import { fitting } from "./fitting.js";
import { practiseWords } from "./practise_words.js";
import { choice, labelled, LANGUAGES, ownLanguage, paint, TOPICS, trying } from "./screen.js";
import * as service from "./service.js";
import { topicName } from "./words.js";

const main = /** @type {HTMLElement} */ (document.querySelector("main"));
let language = ownLanguage();
let say = practiseWords(language);

/** @param {string} wanted */
function speak(wanted) {
  language = wanted;
  say = practiseWords(language);
  document.documentElement.lang = language;
}

async function beginScreen() {
  const { sites } = await service.read("sites");
  const code = location.hash.slice(1);
  /** @type {[string, string][]} */
  const topics = [...(code ? [/** @type {[string, string]} */ (["weak", say("weak")])] : []), ["", say("anything")], ...TOPICS.map((it) => /** @type {[string, string]} */ ([it, topicName(it, language)]))];
  const spoken = choice("language", LANGUAGES, language);
  spoken.addEventListener("change", () => {
    speak(/** @type {HTMLSelectElement} */ (spoken).value);
    void trying(beginScreen);
  });
  const form = /** @type {HTMLFormElement} */ (make(
    "form",
    { class: "stack" },
    labelled(say("site"), choice("site", sites.map((/** @type {any} */ it) => [it.id, it.name]), sites[0]?.id)),
    labelled(say("faults"), choice("topic", topics, code ? "weak" : "")),
    labelled(say("language"), spoken),
    labelled(say("seed"), make("input", { name: "seed", type: "number", min: 0, value: 1 })),
  ));
  const begin = () => trying(async () => {
    const it = Object.fromEntries(new FormData(form));
    const about = it.topic === "weak" ? { weak_in: code } : { topics: it.topic ? [it.topic] : [] };
    callOutScreen(await service.post("practices", { site: it.site, seed: Number(it.seed), language: it.language, ...about }));
  });
  paint(say("title"), [make("p", {}, say("about")), form], [button(say("begin"), begin, "main")]);
}

/** @param {any} it */
function callOutScreen(it) {
  speak(it.language);
  if (it.is_over) return void trying(() => debriefScreen(it.id));
  const where = it.place ? ` ${say("stand", { place: it.place })}` : "";
  const steps = it.steps.map((/** @type {any} */ one) => make("li", {}, told(one)));
  paint(
    it.site,
    [
      make("section", { class: "notice" }, make("h2", {}, say("caller")), make("p", {}, it.words)),
      make("p", {}, `${say("spent", { minutes: count(it.minutes), climbs: it.climbs })}${where}`),
      steps.length > 0 && make("ol", { class: "steps" }, steps),
    ],
    [
      it.to_prove && button(say("prove"), () => prove(it), "main"),
      button(say("check"), () => chooseScreen(it, "check"), it.to_prove ? "" : "main"),
      button(say("repair"), () => chooseScreen(it, "repair")),
      button(say("stop"), () => trying(() => debriefScreen(it.id))),
    ].filter(Boolean),
  );
}

/** @param {any} it  the call-out; its last repair is proved */
const prove = (it) => trying(async () => {
  callOutScreen(await service.post(`practices/${it.id}/steps`, { kind: "proof", what: it.to_prove.cause, part: it.to_prove.part }));
});

/** @param {number} minutes  with the decimal mark of the language */
const count = (minutes) => minutes.toLocaleString(language, { maximumFractionDigits: 1 });

/** @param {string} name @param {string} where */
const joined = (name, where) => `${name}${name.endsWith("?") ? "" : ","} ${where}`;

/** @param {any} one */
const told = (one) => `${joined(one.did, one.where)}: ${one.says} (${say("minutes", { minutes: count(one.minutes) })})`;

/** @param {any} it @param {"check"|"repair"} kind */
function chooseScreen(it, kind) {
  const options = kind === "check" ? it.checks : it.causes;
  const list = make("div", { class: "stack" });
  const input = /** @type {HTMLInputElement} */ (make("input", { type: "search", autocomplete: "off", oninput: () => show() }));
  const show = () => {
    const found = fitting(options, input.value);
    list.replaceChildren(...found.map((one) => row(it, kind, one)), make("p", { role: "status" }, say("shown", { count: found.length, all: options.length })));
  };
  paint(say(kind === "check" ? "whichCheck" : "whichCause"), [labelled(say("words"), input), list], [button(say("back"), () => callOutScreen(it))]);
  show();
}

/** @param {any} it @param {"check"|"repair"} kind @param {any} one */
function row(it, kind, one) {
  const remark = kind === "check" ? `${one.where}, ${say("minutes", { minutes: count(one.minutes) })}` : one.where;
  return make("button", { type: "button", class: "row", onclick: () => precautionScreen(it, kind, one) }, one.name, make("span", { class: "remark" }, remark));
}

/** @param {any} it @param {"check"|"repair"} kind @param {any} one */
function precautionScreen(it, kind, one) {
  const boxes = it.precautions.map((/** @type {any} */ each) => make("label", { class: "choice" }, make("input", { type: "checkbox", value: each.id }), make("span", {}, each.says)));
  const go = () => trying(async () => {
    const precautions = [...main.querySelectorAll("input:checked")].map((box) => /** @type {HTMLInputElement} */ (box).value);
    callOutScreen(await service.post(`practices/${it.id}/steps`, { kind, what: kind === "check" ? one.check : one.cause, part: one.part, precautions }));
  });
  paint(
    say("before"),
    [make("p", {}, joined(one.name, one.where)), make("fieldset", {}, make("legend", {}, say("first")), boxes)],
    [button(say(kind === "check" ? "doCheck" : one.is_as_designed ? "doExplain" : "doRepair"), go, "main"), button(say("back"), () => chooseScreen(it, kind))],
    { look: "actions resting" },
  );
}

/** @param {string} id */
async function debriefScreen(id) {
  const it = await service.post(`practices/${id}/debrief`);
  paint(
    say(it.is_solved ? "solved" : it.is_mended ? "unproved" : "unsolved", it),
    [
      make("section", { class: "notice" }, make("p", {}, say("itWas", { cause: it.cause_name, where: it.where })), make("p", {}, it.means), language !== "en" && make("p", { class: "soft" }, say("english")), make("p", {}, link(say("more"), it.reference, ""))),
      figures(it),
      it.missing.length > 0 && make("section", { class: "stack" }, make("h2", {}, say("missing")), make("ul", {}, it.missing.map((/** @type {string} */ one) => make("li", {}, one)))),
      ...unsafe(it.unsafe),
      needless(it.needless),
      make("h2", {}, say("both")),
      make("div", { class: "both" }, make("h3", {}, say("you")), make("h3", {}, say("planner")), it.steps.flatMap((/** @type {any} */ pair, /** @type {number} */ place) => [pair.mine, pair.planned].map((one) => make("p", {}, one ? `${place + 1}. ${told(one)}` : "–")))),
    ],
    [button(say("another"), () => trying(beginScreen), "main")],
    { look: "actions resting" },
  );
}

/** @param {any[]} acts @returns {HTMLElement[]} what was unsafe, step by step */
function unsafe(acts) {
  const steps = [...new Set(acts.map((it) => it.step))];
  return steps.map((step) => {
    const of = acts.filter((it) => it.step === step);
    const dangers = of.map((it) => make("li", {}, say("danger", it)));
    return make("section", { class: "caution stack" }, make("h2", {}, say("unsafe", of[0])), make("ul", {}, dangers));
  });
}

/** @param {any[]} acts @returns {HTMLElement|false} precautions without use, step by step */
function needless(acts) {
  const lines = acts.flatMap((it) => [
    it.is_spoiled && say("spoiled", it),
    it.precautions.length > 0 && say("needless", { step: it.step, name: it.name, precautions: it.precautions.join("; ") }),
  ]).filter(Boolean);
  return lines.length > 0 && make("section", { class: "stack" }, make("h2", {}, say("notNeeded")), make("ul", {}, lines.map((one) => make("li", {}, String(one)))));
}

/** @param {any} it */
function figures(it) {
  const planner = say(it.planner_solved ? "minutes" : "notSolved", { minutes: count(it.planner_minutes) });
  const rows = [
    ["forCause", say("of", { points: it.for_cause, most: 15 })],
    ["forEvidence", say("of", { points: it.for_evidence, most: 15 })],
    ["forProof", say("of", { points: it.for_proof, most: 10 })],
    ["forTime", say("of", { points: it.for_time, most: 20 })],
    ["forSafety", say("of", { points: it.for_safety, most: 30 })],
    ["forParts", say("of", { points: it.for_parts, most: 10 })],
    ["mine", say("minutes", { minutes: count(it.minutes) })],
    ["planners", planner],
    ["shortest", say("minutes", { minutes: count(it.shortest_minutes) })],
    ["climbs", `${it.climbs} / ${it.planner_climbs}`],
  ];
  return make("table", { class: "tabled" }, make("tbody", {}, rows.map(([name, figure]) => make("tr", {}, make("th", { scope: "row" }, say(name)), make("td", { class: "figure" }, figure)))));
}

speak(language);
await trying(beginScreen);
