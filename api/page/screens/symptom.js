/** Say in one's own words what is wrong. */

import { addressOf } from "../address.js";
import { pinned, understood } from "../case.js";
import { dictation } from "../dictation.js";
import { button, link, make } from "../elements.js";
import { t } from "../language.js";
import { keptWords } from "../offline/keeper.js";
import { questionOf } from "../request.js";
import { Trouble } from "../server.js";
import { trying } from "../trouble.js";

/** @import {Context, View} from "../context.js" */
/** @import {Diagnosis} from "../types.js" */

const EMPTY = "Type a few words first, or choose from the list.";

/** @param {Context} context @returns {View} */
export function symptom(context) {
  const words = /** @type {HTMLTextAreaElement} */ (
    make("textarea", { id: "words", rows: 3, maxlength: 10000, autocapitalize: "none", enterkeyhint: "go", "aria-describedby": "words-hint words-wrong" })
  );
  words.value = context.subject().text;
  const wrong = make("div", { id: "words-wrong" });
  const go = () => void send(context, words.value.trim(), wrong);
  words.addEventListener("keydown", (event) => {
    if (event.key !== "Enter" || event.shiftKey || event.isComposing) return;
    event.preventDefault();
    go();
  });
  const hint = make("p", { id: "words-hint", class: "soft" }, t("For example: left window stops half way. Or: roof vents ignore the thermostat."));
  return {
    title: t("What is wrong?"),
    body: [make("div", { class: "field stack" }, make("label", { for: "words" }, t("In your own words")), words, hint), ...dictation(words), wrong],
    actions: [link(t("Choose from the list"), addressOf("list")), button(t("Go on"), go, "main")],
  };
}

/** @param {Context} context @param {object} question @returns {Promise<Diagnosis|null>} nothing without a signal, where the list can help */
async function understoodOrNot(context, question) {
  try {
    return await context.ask(question);
  } catch (error) {
    if (error instanceof Trouble && error.status === 0 && (await keptWords())) return null;
    throw error;
  }
}

/** @param {Context} context @param {string} text @param {HTMLElement} wrong */
function send(context, text, wrong) {
  if (text === "") return wrong.replaceChildren(make("p", { class: "error", role: "alert" }, t(EMPTY)));
  return trying(context, wrong, async () => {
    const before = context.subject();
    if (text === before.text && before.noticed.length) return context.go(addressOf("confirm"));
    context.change({ ...before, text }); // kept even when the service cannot be reached
    const answer = await understoodOrNot(context, questionOf(before, text));
    if (answer === null) {
      context.change({ ...context.subject(), noticed: [] });
      return context.go(addressOf("list"));
    }
    context.change(pinned(understood(before, text, answer), answer, Date.now()));
    context.go(addressOf("confirm"));
  });
}
