/** A small picture of where the meter goes for a check, beside the words that say the same. */

import { make } from "./elements.js";
import { t } from "./language.js";

/** @typedef {{meter: "V"|"mV"|"Ω"|"MΩ", red: string, black: string, isDead?: boolean}|{meter: "A", around: string}} Probing */

const CORES = { red: "one core", black: "the other core" };
const SUPPLY = { meter: /** @type {const} */ ("V"), red: "plus of the power unit's output", black: "its minus" };
const FUSE = { meter: /** @type {const} */ ("Ω"), red: "one end of the fuse, taken out", black: "its other end", isDead: true };
const PAIR = { meter: /** @type {const} */ ("Ω"), red: "one core of the pair, taken off", black: "the other core", isDead: true };

/** What the steps of each check say, in short. */
export const PROBINGS = /** @type {Record<string, Probing>} */ ({
  "volts-drive": { meter: "V", red: "open core", black: "close or common core" },
  "volts-output": { meter: "V", red: "open terminal", black: "close or common terminal" },
  "volts-data-core": { meter: "V", red: "data core", black: "minus core" },
  "volts-junction": { meter: "V", ...CORES },
  "volts-across-joint": { meter: "mV", red: "one side of the joint", black: "the other side of the same joint" },
  "volts-supply-idle": SUPPLY,
  "volts-supply-loaded": SUPPLY,
  "volts-battery-rest": { meter: "V", red: "plus of the whole set", black: "minus of the whole set" },
  "volts-link-pair": { meter: "V", red: "the core marked plus", black: "the other core" },
  "volts-isolator": { meter: "V", red: "line, outgoing side", black: "neutral, outgoing side" },
  "ohms-core": { meter: "Ω", red: "one end of the core", black: "its other end, by a long lead", isDead: true },
  "ohms-between-cores": { meter: "Ω", ...CORES, isDead: true },
  "ohms-line": { meter: "Ω", red: "one power core, taken off", black: "the other power core", isDead: true },
  "ohms-fuse-output": FUSE,
  "ohms-fuse-supply": FUSE,
  "ohms-end-of-line": PAIR,
  "ohms-detector-line": PAIR,
  "ohms-link-pair": { meter: "Ω", red: "A", black: "B", isDead: true },
  "insulation-earth": { meter: "MΩ", red: "the cores, joined", black: "earth", isDead: true },
  "current-drive": { meter: "A", around: "one core only" },
  "current-output": { meter: "A", around: "one core of the output only" },
  "current-supply-total": { meter: "A", around: "one core on the 24 V side only" },
});

const SVG = "http://www.w3.org/2000/svg";

/** @param {string} check @returns {HTMLElement[]} nothing for a check without a meter, or whose steps leave the points open */
export function probePicture(check) {
  const it = PROBINGS[check];
  if (!it) return [];
  return [make("figure", { class: "probes" }, "around" in it ? clamp(it.meter) : leads(it.meter), make("figcaption", {}, says(it)))];
}

/** @param {Probing} it @returns {string} */
export function says(it) {
  if ("around" in it) return t("Clamp around {what}.", { what: t(it.around) });
  const words = t("Red probe: {red}. Black probe: {black}.", { red: t(it.red), black: t(it.black) });
  return it.isDead ? `${t("Circuit dead and proved dead.")} ${words}` : words;
}

/** @param {string} meter */
function leads(meter) {
  return picture(
    shape("path", { d: "M70 34 C 120 34 120 22 168 22", class: "lead" }),
    shape("path", { d: "M70 62 C 120 62 120 74 168 74", class: "lead black" }),
    ...display(meter),
    ...tip(22, t("red")),
    ...tip(74, t("black")),
  );
}

/** @param {string} meter */
function clamp(meter) {
  return picture(
    shape("line", { x1: 110, y1: 48, x2: 236, y2: 48, class: "core" }),
    shape("ellipse", { cx: 168, cy: 48, rx: 16, ry: 34, class: "lead" }),
    shape("line", { x1: 70, y1: 48, x2: 100, y2: 48, class: "lead" }),
    ...display(meter),
  );
}

/** @param {string} meter */
function display(meter) {
  return [shape("rect", { x: 8, y: 12, width: 62, height: 72, rx: 6, class: "meter" }), text(39, 58, meter)];
}

/** @param {number} y @param {string} probe */
function tip(y, probe) {
  return [shape("circle", { cx: 178, cy: y, r: 9, class: "point" }), text(192, y + 6, probe, "small")];
}

/** @param {...Element} parts  a picture of what the caption says, so it is left out of the reading order */
function picture(...parts) {
  const drawing = shape("svg", { viewBox: "0 0 256 96", "aria-hidden": "true" });
  drawing.append(...parts);
  return drawing;
}

/** @param {number} x @param {number} y @param {string} words @param {string} [look] */
function text(x, y, words, look = "") {
  const element = shape("text", { x, y, class: look, "text-anchor": look ? "start" : "middle" });
  element.textContent = words;
  return element;
}

/** @param {string} name @param {Record<string, string|number>} settings */
function shape(name, settings) {
  const element = document.createElementNS(SVG, name);
  for (const [key, value] of Object.entries(settings)) element.setAttribute(key, String(value));
  return element;
}
