/** The learner's cards: what is due, one card a screen, how well it was known, and when it comes back. */

import { button, link, make } from "../elements.js";
import { atFirst, inWords } from "./answer.js";
import { askedForm } from "./asked.js";
import { cardsWords } from "./cards_words.js";
import { labelled, ownLanguage, paint, trying } from "./screen.js";
import * as service from "./service.js";
import { whenTold } from "./when.js";
import { wordsOf } from "./words.js";

const KEY = "ventsleuth-cards";
const GRADES = ["wrong", "unsure", "right", "easy"];

let language = ownLanguage();
let say = cardsWords(language);
let code = location.hash.slice(1) || localStorage.getItem(KEY) || "";

/** @param {string} due */
const when = (due) => whenTold(due, new Date(), language, say);

function codeScreen() {
  const input = /** @type {HTMLInputElement} */ (make("input", { name: "code", value: code, autocomplete: "off", autocapitalize: "characters", spellcheck: "false", maxlength: 14 }));
  const open = () => trying(() => dueScreen(input.value.trim()));
  const form = make("form", { class: "stack", onsubmit: (/** @type {Event} */ event) => (event.preventDefault(), open()) }, labelled(say("code"), input));
  paint(say("title"), [make("p", {}, say("about")), form], [button(say("open"), open, "main")]);
}

/** @param {string} typed */
async function dueScreen(typed) {
  const found = await service.read(`learners/${encodeURIComponent(typed)}/due?limit=1`);
  code = found.learner;
  localStorage.setItem(KEY, code);
  history.replaceState(null, "", `#${code}`);
  if (found.cards.length) return cardScreen(found.cards[0], found.left, null, false);
  await doneScreen(found.next_due);
}

/** @param {any} card @param {number} left @param {string[]|null} given @param {boolean} isShown */
function cardScreen(card, left, given, isShown) {
  const asked = card.question;
  speak(asked?.language ?? language);
  let letters = asked ? atFirst(asked, given ?? undefined) : [];
  const change = (/** @type {string[]} */ next, /** @type {string} */ focus = "") => {
    letters = next;
    if (asked.response !== "order") return;
    cardScreen(card, left, letters, false);
    document.getElementById(focus)?.focus();
  };
  const body = [
    make("p", { class: "soft" }, say("due", { left })),
    asked ? askedForm(asked, letters, change, wordsOf(language), isShown) : make("p", {}, card.name),
    isShown && answer(card, letters),
  ];
  const show = button(say("show"), () => cardScreen(card, left, letters, true), "main");
  paint(say("title"), body, isShown ? [] : [show], { look: isShown ? "actions resting" : "actions" });
  if (isShown) /** @type {HTMLElement|null} */ (document.querySelector("[data-answer]"))?.focus();
}

/** @param {any} card @param {string[]} letters */
function answer(card, letters) {
  const isRight = card.question && letters.join() === card.right.join();
  const isGiven = letters.some(Boolean);
  const words = wordsOf(language);
  return make(
    "section",
    { class: "stack", tabindex: -1, "data-answer": "" },
    make(
      "div",
      { class: isGiven && !isRight ? "error" : "notice" },
      isGiven && make("p", { class: "mark-sign" }, isRight ? `✓ ${words("right")}` : `✗ ${words("wrong")}`),
      card.question && make("p", {}, words("rightIs", { said: inWords(card.question, card.right) })),
      make("p", {}, card.explanation),
      make("p", {}, link(words("more"), card.address, "")),
    ),
    make("h2", {}, say("grade")),
    make("div", { class: "grades" }, GRADES.map((it) => make("button", { type: "button", class: it === suggested(isGiven, isRight) ? "main" : "", onclick: () => void rate(card, it) }, say(it), make("span", { class: "remark" }, say("back", { when: when(card.next[it]) }))))),
  );
}

/** @param {boolean} isGiven @param {boolean} isRight */
const suggested = (isGiven, isRight) => (!isGiven ? "" : isRight ? "right" : "wrong");

/** @param {any} card @param {string} grade */
function rate(card, grade) {
  return trying(async () => {
    await service.post(`learners/${code}/cards/${card.kind}/${card.entry}`, { grade });
    await dueScreen(code);
  });
}

/** @param {string|null} next */
async function doneScreen(next) {
  const { cards } = await service.read(`learners/${code}`);
  const rows = cards.map((/** @type {any} */ it) => make("tr", {}, make("th", { scope: "row" }, link(it.name, it.address, "")), make("td", { class: "figure" }, when(it.due))));
  paint(
    say("done"),
    [
      make("p", {}, cards.length ? next && say("next", { when: when(next) }) : say("none")),
      make("p", { class: "soft" }, say("keepCode", { code })),
      cards.length > 0 && make("h2", {}, say("all")),
      cards.length > 0 && make("table", { class: "tabled" }, make("tbody", {}, rows)),
    ],
    [button(say("again"), () => void trying(() => dueScreen(code)), "main"), button(say("other"), codeScreen)],
    { look: "actions resting" },
  );
}

/** @param {string} wanted */
function speak(wanted) {
  language = wanted;
  say = cardsWords(language);
  document.documentElement.lang = language;
}

speak(language);
if (code) {
  codeScreen();
  await trying(() => dueScreen(code));
} else codeScreen();
