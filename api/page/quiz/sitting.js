/** The learner's page: join by code, one question a screen, feedback at once or at the end; resumable. */

import { link, make } from "../elements.js";
import { atFirst, firstOpen, isComplete, share } from "./answer.js";
import { action, askedForm } from "./asked.js";
import { markPanel } from "./marks.js";
import { paint, tell, trying } from "./screen.js";
import * as service from "./service.js";
import { topicName, wordsOf } from "./words.js";

const main = /** @type {HTMLElement} */ (document.querySelector("main"));
const news = /** @type {HTMLElement} */ (document.querySelector("[data-news]"));
const place = /** @type {HTMLElement} */ (document.querySelector("[data-place]"));
const KEY = "ventsleuth-sitting-";
const CARDS = "ventsleuth-cards";

/** @type {any} */
let sitting = null;
let at = 0;
/** @type {string[]} */
let letters = [];
let say = wordsOf((navigator.language ?? "en").slice(0, 2));

/** @param {string} [code] */
function joinScreen(code = "") {
  const input = /** @type {HTMLInputElement} */ (make("input", { name: "code", value: code, autocomplete: "off", autocapitalize: "characters", spellcheck: "false", maxlength: 12 }));
  const join = () => void trying(async () => begin(await service.post("sittings", { code: input.value.trim() }), input.value.trim()));
  const form = make("form", { class: "stack", onsubmit: (/** @type {Event} */ event) => (event.preventDefault(), join()) }, make("label", { class: "stack" }, make("span", {}, say("code")), input));
  paint(say("join"), [form, make("p", { class: "soft" }, say("unnamed"))], [action(say("go"), join, "main"), link(say("cards"), "cards.html")]);
}

/** @param {any} found @param {string} code */
function begin(found, code) {
  sitting = found;
  say = wordsOf(found.language);
  document.documentElement.lang = found.language;
  place.replaceChildren(`${found.site} · ${found.learner}`);
  localStorage.setItem(KEY + code.toUpperCase(), found.id);
  history.replaceState(null, "", `#${code.toUpperCase()}`);
  if (found.result) return resultScreen();
  go(firstOpen(found.questions, found.answers));
}

/** @param {number} to */
function go(to) {
  at = to;
  const asked = sitting.questions[at];
  letters = atFirst(asked, sitting.answers[asked.id]);
  questionScreen();
}

/** @param {string|null} [focus] */
function questionScreen(focus = null) {
  const asked = sitting.questions[at];
  const mark = sitting.marks.find((/** @type {any} */ it) => it.item === asked.id);
  const change = (/** @type {string[]} */ next, /** @type {string} */ id = "") => {
    letters = next;
    if (asked.response === "order") questionScreen(id);
  };
  const title = say("question", { n: at + 1, all: sitting.questions.length });
  paint(title, [askedForm(asked, letters, change, say, Boolean(mark)), mark && markPanel(asked, mark, say)], questionActions(Boolean(mark)), { keepFocus: focus !== null });
  if (focus) document.getElementById(focus)?.focus();
}

/** @param {boolean} isMarked @returns {HTMLElement[]} */
function questionActions(isMarked) {
  const isLast = at === sitting.questions.length - 1;
  const on = isMarked ? (isLast ? action(say("finish"), finish, "main") : action(say("next"), () => go(at + 1), "main")) : action(say("answer"), give, "main");
  return [on, ...(at > 0 ? [action(say("back"), () => go(at - 1))] : []), ...(isLast && !isMarked ? [action(say("finish"), finish)] : [])];
}

function give() {
  if (!isComplete(letters)) return tell(new service.Trouble(`${say("choose")}: ${sitting.questions[at].lead_in}`));
  void trying(async () => {
    const asked = sitting.questions[at];
    const kept = await service.put(`sittings/${sitting.id}/answers/${asked.id}`, { given: letters });
    sitting.answers[asked.id] = kept.mark ? kept.mark.given : letters;
    if (!kept.mark) return at < sitting.questions.length - 1 ? go(at + 1) : finish();
    sitting.marks.push(kept.mark);
    letters = kept.mark.given;
    questionScreen();
    news.replaceChildren(kept.mark.is_right ? say("right") : say("wrong"));
    /** @type {HTMLElement} */ (main.querySelector("[data-mark]")).focus();
  });
}

function finish() {
  const open = sitting.questions.filter((/** @type {any} */ it) => !(it.id in sitting.answers)).length;
  const end = () => void trying(async () => {
    sitting.result = await service.post(`sittings/${sitting.id}/result`);
    resultScreen();
  });
  if (!open) return end();
  paint(say("finish"), [make("p", {}, say("open", { count: open }))], [action(say("back"), () => go(firstOpen(sitting.questions, sitting.answers)), "main"), action(say("sure"), end)]);
}

function resultScreen() {
  const result = sitting.result;
  const rows = result.topics.map((/** @type {any} */ it) => make("tr", {}, make("th", { scope: "row" }, topicName(it.topic, sitting.language)), make("td", { class: "figure" }, `${it.right} / ${it.asked}`), make("td", { class: "figure" }, share(it.right, it.asked))));
  const marks = result.marks.map((/** @type {any} */ mark) => {
    const asked = sitting.questions.find((/** @type {any} */ it) => it.id === mark.item);
    return make("div", { class: "stack" }, make("h3", {}, asked.lead_in), asked.stem.slice(1).map((/** @type {string} */ it) => make("p", { class: "soft" }, it)), markPanel(asked, mark, say));
  });
  paint(say("result", result), [make("h2", {}, say("topics")), make("table", { class: "tabled" }, make("tbody", {}, rows)), make("h2", {}, say("choices")), ...marks], [action(say("keep"), keep, "main")]);
}

/** Keep the answers as cards: with those this phone has, else as new ones. */
function keep() {
  void trying(async () => {
    const kept = localStorage.getItem(CARDS);
    const path = `sittings/${sitting.id}/cards`;
    const found = await service.post(path, kept ? { learner: kept } : {}).catch((error) => (error.status === 404 && kept ? service.post(path, {}) : Promise.reject(error)));
    localStorage.setItem(CARDS, found.learner);
    location.assign(`cards.html#${found.learner}`);
  });
}

async function start() {
  const code = location.hash.slice(1).toUpperCase();
  const kept = code && localStorage.getItem(KEY + code);
  if (!kept) return joinScreen(code);
  try {
    begin(await service.read(`sittings/${kept}`), code);
  } catch (error) {
    if (!(error instanceof service.Trouble)) throw error;
    joinScreen(code);
    if (error.status !== 404) tell(error);
  }
}

await start();
