/** The trainer's page: make a quiz, open a class, and watch it as it goes on. */

import { button, link, make } from "../elements.js";
import { share } from "./answer.js";
import { classWords } from "./class_words.js";
import { choice, labelled, LANGUAGES, ownLanguage, paint, TOPICS, trying } from "./screen.js";
import * as service from "./service.js";
import { topicName } from "./words.js";

const main = /** @type {HTMLElement} */ (document.querySelector("main"));
const FORMS = ["qti", "qti3", "csv", "json", "markdown", "html", "pdf"];
/** @type {EventSource|null} */
let stream = null;
const language = ownLanguage();
const say = classWords(language);
document.documentElement.lang = language;

async function makeScreen() {
  const { sites } = await service.read("sites");
  const form = /** @type {HTMLFormElement} */ (make(
    "form",
    { class: "stack" },
    labelled(say("site"), choice("site", sites.map((/** @type {any} */ it) => [it.id, it.name]), sites[0]?.id)),
    labelled(say("questions"), make("input", { name: "questions", type: "number", min: 1, max: 200, value: 20 })),
    labelled(say("level"), choice("level", [["1", say("easy")], ["2", "2"], ["3", say("hard")]], "2")),
    labelled(say("topic"), choice("topic", [["", say("all")], ...TOPICS.map((it) => /** @type {[string, string]} */ ([it, topicName(it, language)]))], "")),
    labelled(say("language"), choice("language", LANGUAGES, language)),
    labelled(say("seed"), make("input", { name: "seed", type: "number", min: 0, value: 1 })),
    labelled(say("feedback"), choice("feedback", [["final", say("final")], ["instant", say("instant")]], "final")),
  ));
  const begin = () => trying(async () => {
    const it = Object.fromEntries(new FormData(form));
    const asked = { site: it.site, questions: Number(it.questions), level: Number(it.level), seed: Number(it.seed), language: it.language, topics: it.topic ? [it.topic] : [] };
    const quiz = await service.post("quizzes", asked);
    const opened = await service.post("classes", { quiz: quiz.id, feedback: it.feedback });
    history.replaceState(null, "", `#${opened.code}`);
    await watch(opened.code);
  });
  paint(say("title"), [form], [button(say("make"), begin, "main")], { look: "actions resting" });
}

/** @param {string} code */
async function watch(code) {
  stream?.close();
  const it = await service.read(`classes/${code}`);
  paint(say("class", it), [joining(it), exports(it.quiz), handOut(it.quiz), figures(it.quiz), learners(it), items(it)], actions(it), { look: "actions resting" });
  if (it.is_open) follow(code);
}

/** Show every change as the service tells it; the browser comes back by itself after a broken line.
 * @param {string} code */
function follow(code) {
  stream = new EventSource(`/v1/classes/${code}/stream`);
  stream.addEventListener("change", (event) => {
    const it = JSON.parse(event.data);
    if (!it.is_open) return void trying(() => watch(code));
    main.querySelector("[data-learners]")?.replaceWith(learners(it));
    main.querySelector("[data-items]")?.replaceWith(items(it));
  });
}

/** @param {any} it */
function joining(it) {
  if (!it.is_open) return make("p", { class: "notice" }, say("closed"));
  return make(
    "section",
    { class: "stack" },
    make("p", { class: "code" }, it.code),
    make("p", {}, say("join", { where: `${location.host}${it.address}` })),
    make("img", { class: "picture", alt: say("picture", { where: `${location.origin}${it.address}` }), src: `/v1/classes/${it.code}/qr.svg` }),
  );
}

/** @param {string} quiz */
function exports(quiz) {
  return make("details", {}, make("summary", {}, say("file")), make("div", { class: "inside pair three" }, FORMS.map((it) => link(it, `/v1/quizzes/${quiz}/file?form=${it}`)), link(say("statements"), `/v1/quizzes/${quiz}/statements`)));
}

/** @param {string} quiz */
function handOut(quiz) {
  const shown = make("div", { class: "inside stack" }, make("p", {}, say("cards")));
  const give = () => trying(async () => {
    const found = await service.post("learners", { quiz });
    shown.append(make("p", {}, make("strong", {}, found.learner), ` ${say("given", found)} `, link(`${location.host}${found.address}`, found.address, "")));
  });
  shown.append(button(say("give"), give));
  return make("details", {}, make("summary", {}, say("alone")), shown);
}

/** Show difficulty, discrimination and what to look at, once it is unfolded.
 * @param {string} quiz */
function figures(quiz) {
  const shown = make("div", { class: "inside stack" });
  const whole = make("details", {}, make("summary", {}, say("figures")), shown);
  whole.addEventListener("toggle", () => void trying(async () => {
    const it = await service.read(`quizzes/${quiz}/statistics`);
    shown.replaceChildren(...(it.items.length ? figured(it) : [make("p", {}, say("few", it))]));
  }));
  return whole;
}

/** @param {any} it */
function figured(it) {
  const number = (/** @type {number|null} */ one) => (one === null ? "–" : one.toFixed(2));
  const rows = it.items.map((/** @type {any} */ one, /** @type {number} */ place) => make("tr", {}, make("th", { scope: "row" }, String(place + 1)), make("td", {}, make("p", {}, say("easyness", { share: `${Math.round(100 * one.difficulty)} %`, rest: number(one.with_rest) })), (one.flags.length ? one.flags : [say("unmarked")]).map((/** @type {string} */ says) => make("p", { class: "soft" }, says)))));
  const whole = say("whole", { learners: it.learners, mean: number(it.mean), alpha: number(it.alpha), error: number(it.error) });
  return [make("p", {}, whole), make("table", { class: "tabled" }, make("tbody", {}, rows))];
}

/** @param {any} it */
function learners(it) {
  const rows = it.learners.map((/** @type {any} */ one) => make("tr", {}, make("th", { scope: "row" }, one.learner), make("td", { class: "figure" }, say("of", { one: one.answered, all: it.items.length })), make("td", { class: "figure" }, say("right", one)), make("td", {}, one.is_done ? say("done") : "")));
  return make("section", { class: "stack", "data-learners": "" }, make("h2", {}, it.learners.length === 1 ? say("learner") : say("learners", { count: it.learners.length })), make("table", { class: "tabled" }, make("tbody", {}, rows)));
}

/** @param {any} it */
function items(it) {
  const rows = it.items.map((/** @type {any} */ one, /** @type {number} */ place) => make("tr", {}, make("th", { scope: "row" }, String(place + 1)), make("td", {}, make("p", { class: "clamped" }, one.question)), make("td", { class: "figure" }, one.answered ? say("of", { one: share(one.right, one.answered), all: one.answered }) : "–")));
  return make("section", { class: "stack", "data-items": "" }, make("h2", {}, say("questions")), make("table", { class: "tabled" }, make("tbody", {}, rows)), it.weakest_topics.length ? make("p", {}, say("weakest", { topics: it.weakest_topics.map((/** @type {string} */ one) => topicName(one, language)).join(", ") })) : "");
}

/** @param {any} it */
function actions(it) {
  const practise = link(say("practise"), `practise.html#${it.code}`);
  if (!it.is_open) return [practise, button(say("another"), () => void trying(makeScreen), "main")];
  return [practise, button(say("close"), () => trying(async () => {
    await service.remove(`classes/${it.code}`);
    await watch(it.code);
  }))];
}

const code = location.hash.slice(1);
await trying(() => (code ? watch(code) : makeScreen()));
