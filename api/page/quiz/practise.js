/** A practice call-out: read the report, choose checks with their precautions, mend a cause, and see both ways. */

import { button, link, make } from "../elements.js";
import { fitting } from "./fitting.js";
import * as service from "./service.js";

const main = /** @type {HTMLElement} */ (document.querySelector("main"));
const TOPICS = ["supply", "output", "wiring", "drive", "opening", "input", "settings", "link", "fan"];

/** @param {string} title @param {(Node|false|null|undefined|"")[]} body @param {HTMLElement[]} actions @param {string} [look] */
function paint(title, body, actions, look = "actions") {
  const heading = make("h1", { tabindex: -1 }, title);
  main.replaceChildren(heading, ...body.filter((it) => it instanceof Node), make("div", { class: look }, actions));
  document.title = `${title} – Ventsleuth`;
  scrollTo(0, 0);
  heading.focus({ preventScroll: true });
}

/** @param {() => Promise<void>} work */
async function trying(work) {
  try {
    await work();
  } catch (error) {
    if (!(error instanceof service.Trouble)) throw error;
    main.querySelector("[data-trouble]")?.remove();
    main.querySelector(".actions")?.before(make("p", { class: "error", "data-trouble": "", role: "alert" }, error.message));
  }
}

/** @param {string} says @param {HTMLElement} control */
const labelled = (says, control) => make("label", { class: "stack" }, make("span", {}, says), control);

async function beginScreen() {
  const { sites } = await service.read("sites");
  const code = location.hash.slice(1);
  const form = /** @type {HTMLFormElement} */ (make(
    "form",
    { class: "stack" },
    labelled("Site", make("select", { name: "site" }, sites.map((/** @type {any} */ it) => make("option", { value: it.id }, it.name)))),
    labelled("Faults about", make("select", { name: "topic" }, code && make("option", { value: "weak" }, "what the class got wrong"), make("option", { value: "" }, "anything"), TOPICS.map((it) => make("option", { value: it }, it)))),
    labelled("Seed: the same one hides the same fault", make("input", { name: "seed", type: "number", min: 0, value: 1 })),
  ));
  const begin = () => trying(async () => {
    const it = Object.fromEntries(new FormData(form));
    const about = it.topic === "weak" ? { weak_in: code } : { topics: it.topic ? [it.topic] : [] };
    callOutScreen(await service.post("practices", { site: it.site, seed: Number(it.seed), ...about }));
  });
  paint("Practise a call-out", [make("p", {}, "A fault is hidden in a virtual copy of the site. Find it, safely and in few minutes."), form], [button("Begin", begin, "main")]);
}

/** @param {any} it */
function callOutScreen(it) {
  if (it.is_over) return void trying(() => debriefScreen(it.id));
  const where = it.place ? ` You stand here: ${it.place}.` : "";
  const steps = it.steps.map((/** @type {any} */ one) => make("li", {}, `${told(one)}`));
  paint(
    it.site,
    [
      make("section", { class: "notice" }, make("h2", {}, "The caller says"), make("p", {}, it.words)),
      make("p", {}, `${it.minutes} min spent, ${it.climbs} climbs.${where}`),
      steps.length > 0 && make("ol", { class: "steps" }, steps),
    ],
    [
      button("Make a check", () => chooseScreen(it, "check"), "main"),
      button("Name the cause and mend it", () => chooseScreen(it, "repair")),
      button("Give up and see the debrief", () => trying(() => debriefScreen(it.id))),
    ],
  );
}

/** @param {any} one */
const told = (one) => `${one.kind === "repair" ? "Mend: " : ""}${one.name}, ${one.where}: ${one.says} (${one.minutes} min)`;

/** @param {any} it @param {"check"|"repair"} kind */
function chooseScreen(it, kind) {
  const options = kind === "check" ? it.checks : it.causes;
  const list = make("div", { class: "stack" });
  const input = /** @type {HTMLInputElement} */ (make("input", { type: "search", autocomplete: "off", oninput: () => show() }));
  const show = () => {
    const found = fitting(options, input.value);
    list.replaceChildren(...found.map((one) => row(it, kind, one)), make("p", { role: "status" }, `${found.length} of ${options.length} shown`));
  };
  const title = kind === "check" ? "Which check" : "Which cause";
  paint(title, [labelled("Words of it, such as voltage drive", input), list], [button("Back", () => callOutScreen(it))]);
  show();
}

/** @param {any} it @param {"check"|"repair"} kind @param {any} one */
function row(it, kind, one) {
  const choose = () => (kind === "check" ? precautionScreen(it, one) : mend(it, one));
  const remark = kind === "check" ? `${one.where}, ${one.minutes} min` : one.where;
  return make("button", { type: "button", class: "row", onclick: choose }, one.name, make("span", { class: "remark" }, remark));
}

/** @param {any} it @param {any} one */
function precautionScreen(it, one) {
  const boxes = it.precautions.map((/** @type {any} */ each) => make("label", { class: "choice" }, make("input", { type: "checkbox", value: each.id }), make("span", {}, each.says)));
  const go = () => trying(async () => {
    const precautions = [...main.querySelectorAll("input:checked")].map((box) => /** @type {HTMLInputElement} */ (box).value);
    callOutScreen(await service.post(`practices/${it.id}/steps`, { kind: "check", what: one.check, part: one.part, precautions }));
  });
  paint("Before you begin", [make("p", {}, `${one.name}, ${one.where}`), make("fieldset", { class: "stack" }, make("legend", {}, "What do you do first? Each costs a minute."), boxes)], [button("Make the check", go, "main"), button("Back", () => chooseScreen(it, "check"))]);
}

/** @param {any} it @param {any} one */
function mend(it, one) {
  void trying(async () => callOutScreen(await service.post(`practices/${it.id}/steps`, { kind: "repair", what: one.cause, part: one.part })));
}

/** @param {string} id */
async function debriefScreen(id) {
  const it = await service.post(`practices/${id}/debrief`);
  const row = (/** @type {string} */ name, /** @type {string} */ figure) => make("tr", {}, make("th", { scope: "row" }, name), make("td", { class: "figure" }, figure));
  const planner = it.planner_solved ? `${it.planner_minutes} min` : `${it.planner_minutes} min, not solved`;
  paint(
    it.is_solved ? `Solved: ${it.points} points` : `Not solved: ${it.points} points`,
    [
      make("section", { class: "notice" }, make("p", {}, `It was: ${it.cause_name}, ${it.where}.`), make("p", {}, it.means), make("p", {}, link("Read on in the reference", it.reference, ""))),
      make("table", { class: "tabled" }, make("tbody", {}, row("Cause at the first try", `${it.for_cause} of 40`), row("Time", `${it.for_time} of 20`), row("Safety", `${it.for_safety} of 30`), row("No needless repair", `${it.for_parts} of 10`), row("Your minutes", `${it.minutes} min`), row("The planner's", planner), row("The shortest way", `${it.shortest_minutes} min`), row("Climbs, yours and the planner's", `${it.climbs} / ${it.planner_climbs}`))),
      ...it.unsafe.map((/** @type {any} */ act) => make("section", { class: "caution" }, make("p", {}, `Step ${act.step}, ${act.name}: ${act.caution}. ${act.why}. ${act.precaution}.`))),
      make("h2", {}, "Both ways"),
      make("div", { class: "both" }, make("h3", {}, "You"), make("h3", {}, "The planner"), it.steps.flatMap((/** @type {any} */ pair, /** @type {number} */ place) => [pair.mine, pair.planned].map((one) => make("p", {}, one ? `${place + 1}. ${told(one)}` : "–")))),
    ],
    [button("Another call-out", () => trying(beginScreen), "main")],
    "actions resting",
  );
}

await trying(beginScreen);
