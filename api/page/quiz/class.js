/** The trainer's page: make a quiz, open a class, and watch it as it goes on. */

import { button, link, make } from "../elements.js";
import { share } from "./answer.js";
import * as service from "./service.js";

const main = /** @type {HTMLElement} */ (document.querySelector("main"));
const EVERY_MS = 3000;
const TOPICS = ["supply", "output", "wiring", "drive", "opening", "input", "settings", "link", "fan"];
const FORMS = ["qti", "qti3", "csv", "json", "markdown", "html", "pdf"];
let watching = 0;

/** @param {string} title @param {(Node|false|null|undefined)[]} body @param {HTMLElement[]} actions */
function paint(title, body, actions) {
  clearTimeout(watching);
  const heading = make("h1", { tabindex: -1 }, title);
  main.replaceChildren(heading, ...body.filter((it) => it instanceof Node), make("div", { class: "actions resting" }, actions));
  document.title = `${title} – Ventsleuth`;
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

/** @param {string} name @param {[string, string][]} options @param {string} chosen */
const choice = (name, options, chosen) => make("select", { name }, options.map(([value, says]) => make("option", { value, selected: value === chosen }, says)));

async function makeScreen() {
  const { sites } = await service.read("sites");
  const form = /** @type {HTMLFormElement} */ (make(
    "form",
    { class: "stack" },
    labelled("Site", choice("site", sites.map((/** @type {any} */ it) => [it.id, it.name]), sites[0]?.id)),
    labelled("Questions", make("input", { name: "questions", type: "number", min: 1, max: 200, value: 20 })),
    labelled("Level", choice("level", [["1", "1, easy"], ["2", "2"], ["3", "3, hard"]], "2")),
    labelled("Topic", choice("topic", [["", "All"], ...TOPICS.map((it) => /** @type {[string, string]} */ ([it, it]))], "")),
    labelled("Language", choice("language", [["en", "English"], ["de", "Deutsch"], ["da", "Dansk"]], "en")),
    labelled("Seed: the same one gives the same quiz", make("input", { name: "seed", type: "number", min: 0, value: 1 })),
    labelled("Tell the answers", choice("feedback", [["final", "at the end"], ["instant", "after each question"]], "final")),
  ));
  const begin = () => trying(async () => {
    const it = Object.fromEntries(new FormData(form));
    const asked = { site: it.site, questions: Number(it.questions), level: Number(it.level), seed: Number(it.seed), language: it.language, topics: it.topic ? [it.topic] : [] };
    const quiz = await service.post("quizzes", asked);
    const opened = await service.post("classes", { quiz: quiz.id, feedback: it.feedback });
    history.replaceState(null, "", `#${opened.code}`);
    await watch(opened.code);
  });
  paint("Make a quiz for a class", [form], [button("Make it and open a class", begin, "main")]);
}

/** @param {string} code */
async function watch(code) {
  const it = await service.read(`classes/${code}`);
  paint(`Class ${it.code}`, [joining(it), await exports(it.quiz), learners(it), items(it)], actions(it));
  if (it.is_open) watching = setTimeout(() => trying(() => refresh(code)), EVERY_MS);
}

/** @param {string} code */
async function refresh(code) {
  const it = await service.read(`classes/${code}`);
  main.querySelector("[data-learners]")?.replaceWith(learners(it));
  main.querySelector("[data-items]")?.replaceWith(items(it));
  if (it.is_open) watching = setTimeout(() => trying(() => refresh(code)), EVERY_MS);
}

/** @param {any} it */
function joining(it) {
  if (!it.is_open) return make("p", { class: "notice" }, "This class is closed. What was answered is kept.");
  return make(
    "section",
    { class: "stack" },
    make("p", { class: "code" }, it.code),
    make("p", {}, `Learners open ${location.host}${it.address} or scan this picture. Nobody gives a name.`),
    make("img", { class: "picture", alt: `QR code of ${location.origin}${it.address}`, src: `/v1/classes/${it.code}/qr.svg` }),
  );
}

/** @param {string} quiz */
async function exports(quiz) {
  return make("details", {}, make("summary", {}, "The quiz as a file"), make("div", { class: "inside pair three" }, FORMS.map((it) => link(it, `/v1/quizzes/${quiz}/file?form=${it}`))));
}

/** @param {any} it */
function learners(it) {
  const rows = it.learners.map((/** @type {any} */ one) => make("tr", {}, make("th", { scope: "row" }, one.learner), make("td", { class: "figure" }, `${one.answered} of ${it.items.length}`), make("td", { class: "figure" }, `${one.right} right`), make("td", {}, one.is_done ? "done" : "")));
  return make("section", { class: "stack", "data-learners": "" }, make("h2", {}, it.learners.length === 1 ? "1 learner" : `${it.learners.length} learners`), make("table", { class: "tabled" }, make("tbody", {}, rows)));
}

/** @param {any} it */
function items(it) {
  const rows = it.items.map((/** @type {any} */ one, /** @type {number} */ place) => make("tr", {}, make("th", { scope: "row" }, String(place + 1)), make("td", {}, one.question), make("td", { class: "figure" }, one.answered ? `${share(one.right, one.answered)} of ${one.answered}` : "–")));
  return make("section", { class: "stack", "data-items": "" }, make("h2", {}, "Questions"), make("table", { class: "tabled" }, make("tbody", {}, rows)), it.weakest_topics.length ? make("p", {}, `Weakest so far: ${it.weakest_topics.join(", ")}.`) : "");
}

/** @param {any} it */
function actions(it) {
  const practise = link("Practise what was got wrong", `practise.html#${it.code}`);
  if (!it.is_open) return [practise, button("Another quiz", () => void trying(makeScreen), "main")];
  return [practise, button("Close the class", () => trying(async () => {
    await service.remove(`classes/${it.code}`);
    await watch(it.code);
  }))];
}

const code = location.hash.slice(1);
await trying(() => (code ? watch(code) : makeScreen()));
