/** Show one question so that it can be answered by touch, by keys and by ear. */

import { button, make } from "../elements.js";
import { moved } from "./answer.js";

/** @import {Asked} from "./answer.js" */
/** @typedef {(name: string, values?: Record<string, string|number>) => string} Say */

/**
 * @param {Asked} asked
 * @param {string[]} letters  what is chosen now
 * @param {(letters: string[], focus?: string) => void} change  told of every change; `focus` is what to focus afterwards
 * @param {Say} say
 * @param {boolean} isFixed  whether the answer can no longer be changed
 * @returns {HTMLElement}
 */
export function askedForm(asked, letters, change, say, isFixed) {
  const form = { choice: choices, order: ordered, match: pairs }[asked.response](asked, letters, change, say, isFixed);
  return make(
    "div",
    { class: "asked stack" },
    asked.stem.map((it) => make("p", {}, it)),
    asked.is_partly_english && make("p", { class: "soft" }, say("english")),
    form,
  );
}

/** @param {Asked} asked @param {string[]} letters @param {(letters: string[]) => void} change @param {Say} _ @param {boolean} isFixed */
function choices(asked, letters, change, _, isFixed) {
  return make(
    "fieldset",
    { disabled: isFixed },
    make("legend", {}, asked.lead_in),
    asked.choices.map((it) =>
      make(
        "label",
        { class: "choice" },
        make("input", { type: "radio", name: "answer", value: it.letter, checked: letters[0] === it.letter, onchange: () => change([it.letter]) }),
        make("span", {}, it.text),
      ),
    ),
  );
}

/** @param {Asked} asked @param {string[]} letters @param {(letters: string[], focus?: string) => void} change @param {Say} say @param {boolean} isFixed */
function ordered(asked, letters, change, say, isFixed) {
  const texts = new Map(asked.choices.map((it) => [it.letter, it.text]));
  const step = (/** @type {string} */ letter, /** @type {number} */ place) => {
    const text = texts.get(letter) ?? "";
    return make(
      "li",
      {},
      make("span", {}, `${place + 1}. ${text}`),
      mover("↑", say("up", { text }), isFixed || place === 0, `up-${letter}`, () => change(moved(letters, place, -1), `up-${letter}`)),
      mover("↓", say("down", { text }), isFixed || place === letters.length - 1, `down-${letter}`, () => change(moved(letters, place, 1), `down-${letter}`)),
    );
  };
  return make("fieldset", {}, make("legend", {}, asked.lead_in), make("ol", { class: "ordered" }, letters.map(step)));
}

/** @param {string} sign @param {string} label @param {boolean} isOff @param {string} id @param {() => void} move */
function mover(sign, label, isOff, id, move) {
  return make("button", { type: "button", "aria-label": label, disabled: isOff, id, onclick: move }, sign);
}

/** @param {Asked} asked @param {string[]} letters @param {(letters: string[]) => void} change @param {Say} say @param {boolean} isFixed */
function pairs(asked, letters, change, say, isFixed) {
  const row = (/** @type {string} */ prompt, /** @type {number} */ place) => {
    const options = [{ letter: "", text: say("choose") }, ...asked.choices];
    const chosen = make(
      "select",
      { onchange: (/** @type {Event} */ event) => change(letters.with(place, /** @type {HTMLSelectElement} */ (event.target).value)) },
      options.map((it) => make("option", { value: it.letter, selected: it.letter === letters[place] }, it.letter ? `${it.letter}  ${it.text}` : it.text)),
    );
    return make("label", { class: "stack" }, make("span", {}, prompt), chosen);
  };
  const listed = make("ol", { type: "A" }, asked.choices.map((it) => make("li", {}, it.text)));
  return make("fieldset", { disabled: isFixed, class: "stack" }, make("legend", {}, asked.lead_in), listed, asked.prompts.map(row));
}

/** @param {string} text @param {() => void} act @param {string} [look] */
export const action = (text, act, look = "") => button(text, act, look);
