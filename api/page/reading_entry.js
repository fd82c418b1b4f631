/** Take a reading as a number with its unit; the service judges it. */

import { make } from "./elements.js";
import { t } from "./language.js";
import { unitWord } from "./say.js";
import { Trouble } from "./server.js";
import { trying } from "./trouble.js";

/** @import {Context} from "./context.js" */

const REFUSED = 422;
const OVER_RANGE_IS_A_READING = new Set(["ohm", "Mohm"]); // a meter shows OL for an open circuit

/**
 * @param {Context} context
 * @param {string} unit
 * @param {HTMLElement} wrong  where other troubles are shown
 * @param {(outcome: string, said: string) => Promise<void>} give
 * @returns {HTMLElement}
 */
export function readingEntry(context, unit, wrong, give) {
  const mode = unit === "count" ? "numeric" : "decimal";
  const input = /** @type {HTMLInputElement} */ (
    make("input", { id: "reading", type: "text", inputmode: mode, autocomplete: "off", enterkeyhint: "go", "aria-describedby": "reading-wrong" })
  );
  const says = make("p", { id: "reading-wrong", class: "wrong", role: "alert" });
  const send = () => void trying(context, wrong, () => judged(input, says, unit, give));
  const form = make("form", { class: "field", novalidate: true }, make("label", { for: "reading" }, label(unit)), make("div", { class: "number" }, input, make("button", { class: "main" }, t("Use it"))), says);
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    send();
  });
  return form;
}

/** @param {string} unit */
function label(unit) {
  return unit === "count" ? t("Number counted") : t("Reading in {unit}", { unit: unitWord(unit) });
}

/** @param {HTMLInputElement} input @param {HTMLElement} says @param {string} unit @param {(outcome: string, said: string) => Promise<void>} give */
async function judged(input, says, unit, give) {
  const typed = input.value.trim();
  mark(input, says, "");
  if (!/\d/.test(typed) && !(typed && OVER_RANGE_IS_A_READING.has(unit))) return mark(input, says, t("Type a number, or choose one of the answers below."));
  try {
    await give(typed, unit === "count" ? typed : `${typed} ${unitWord(unit)}`);
  } catch (error) {
    const about = error instanceof Trouble && error.status === REFUSED ? error.about("findings") : null;
    if (about === null) throw error;
    mark(input, says, about);
  }
}

/** @param {HTMLInputElement} input @param {HTMLElement} says @param {string} text */
function mark(input, says, text) {
  says.replaceChildren(text);
  if (!text) return input.removeAttribute("aria-invalid");
  input.setAttribute("aria-invalid", "true");
  return input.focus();
}
