/** Dictate into a field where the browser can listen. */

import { button, make } from "./elements.js";
import { locale, t } from "./language.js";

const BARRED = new Set(["not-allowed", "service-not-allowed"]);
const STOPPED = new Set(["aborted", "no-speech"]);

/** @typedef {{lang: string, continuous: boolean, interimResults: boolean, start: () => void, stop: () => void,
 *   onresult: (event: any) => void, onerror: (event: {error: string}) => void, onend: () => void}} Listening */

/** @returns {(new () => Listening)|null} nothing where the browser cannot listen */
function listener() {
  const here = /** @type {any} */ (globalThis);
  return here.SpeechRecognition ?? here.webkitSpeechRecognition ?? null;
}

/** @param {HTMLTextAreaElement} field @returns {HTMLElement[]} a button that listens, and where the sound may go; nothing where the browser cannot listen */
export function dictation(field) {
  const Listener = listener();
  if (Listener === null) return [];
  const says = make("p", { class: "soft", role: "status" });
  /** @type {Listening|null} */
  let listening = null;
  const draw = () => speak.replaceChildren(listening ? t("Stop listening") : t("Dictate"));
  const speak = button("", () => {
    if (listening) return listening.stop();
    listening = listen(new Listener(), field, says, () => {
      listening = null;
      draw();
    });
    draw();
  });
  draw();
  return [speak, says, make("p", { class: "soft" }, t("To understand speech, the browser may send the sound to its maker. The microphone on your keyboard follows the keyboard's own terms."))];
}

/** @param {Listening} it @param {HTMLTextAreaElement} field @param {HTMLElement} says @param {() => void} ended @returns {Listening} */
function listen(it, field, says, ended) {
  const before = field.value.trim();
  it.lang = locale();
  it.continuous = true;
  it.interimResults = true;
  it.onresult = (event) => {
    const heard = [...event.results].map((result) => result[0].transcript.trim()).join(" ");
    field.value = [before, heard].filter(Boolean).join(" ");
  };
  it.onerror = (event) => says.replaceChildren(STOPPED.has(event.error) ? "" : trouble(event.error));
  it.onend = ended;
  says.replaceChildren(t("Listening. Say what should move and what it does instead."));
  it.start();
  return it;
}

/** @param {string} error @returns {string} */
function trouble(error) {
  if (BARRED.has(error)) return t("The microphone is not allowed for this page. Allow it in the browser's settings, or type.");
  return t("Dictation did not work here. Type, or use the microphone on your keyboard.");
}
