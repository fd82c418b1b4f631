/** Understand a reading as it is typed, `22,8 V`, `1k2` or `0.4A`, as the service does, or say kindly why not. */

/** @import {Quantity, Unit} from "./types.js" */

const NUMBER = /^(?<sign>[+-]?) ?(?<number>\d[\d .,']*\d|\d|[.,]\d+)\s*(?<unit>.*)$/;
const LETTER_AS_POINT = /^(?<sign>[+-]?)(?<whole>\d*)(?<letter>[A-Za-z])(?<part>\d+)\s*(?<unit>\D*)$/;
const ABOUT = /^(about|approx\.?|ca\.?|circa|roughly|~|≈|=)\s*/i;
const OVER_RANGE = new Set(["ol", "o.l", "o.l.", "0l", "0.l", "open", "infinite", "infinity", "∞", "over"]);
const MOST_CHARACTERS = 40;
const SAME = /** @type {Record<string, string>} */ ({ "−": "-", "–": "-", "\u00a0": " ", "\u202f": " ", "\u2009": " ", "\u2126": "Ω", "\u03bc": "µ" });

/** What was typed cannot be the reading; the message says what can. */
export class NotAReading extends Error {}

/**
 * @param {Quantity[]} quantities
 * @param {string} text
 * @param {string} name  of the quantity asked for
 * @param {number} low  the lowest it can plausibly be, in the quantity's own unit
 * @param {number} high
 * @returns {number} in the quantity's own unit
 */
export function readValue(quantities, text, name, low, high) {
  const asked = /** @type {Quantity} */ (quantities.find((it) => it.name === name));
  const typed = tidy(text);
  if (name === "resistance" && OVER_RANGE.has((typed.replace(/\s*[kKM]?(Ω|ohms?)$/i, "") || typed).toLowerCase())) return Infinity;
  const found = [...new Set(candidates(typed, asked))];
  const fitting = found.filter((value) => low <= value && value <= high);
  const range = `between ${inWords(low)} and ${inWords(high)} ${asked.unit}`;
  if (found.length === 0) throw new NotAReading(notUnderstood(quantities, text, asked, range));
  if (fitting.length === 0) {
    throw new NotAReading(`${shown(text)} reads as ${inWords(found[0])} ${asked.unit}; ${asked.words} here is ${range}. Check the reading and its unit, then type it again.`);
  }
  if (fitting.length > 1) throw new NotAReading(`${shown(text)} can mean ${inWords(fitting[0])} ${asked.unit} or ${inWords(fitting[1])} ${asked.unit}. Type it without the comma.`);
  return fitting[0];
}

/** @param {string} text */
function tidy(text) {
  const plain = [...text.slice(0, MOST_CHARACTERS + 1)].map((it) => SAME[it] ?? it).join("").trim().split(/\s+/).join(" ");
  return plain.length > MOST_CHARACTERS ? "" : plain.replace(ABOUT, "").replace(/[.;!? ]+$/, "");
}

/** @param {string} typed @param {Quantity} asked @returns {Generator<number>} every value the text can stand for, likeliest first */
function* candidates(typed, asked) {
  const lettered = LETTER_AS_POINT.exec(typed)?.groups;
  if (lettered) {
    const unit = unitOf(lettered.letter + lettered.unit.replaceAll(" ", ""), asked) ?? unitOf(lettered.letter, asked);
    if (unit && asked.takes_letters) yield signed(lettered.sign, `${lettered.whole || "0"}.${lettered.part}`, unit);
    return;
  }
  const plain = NUMBER.exec(typed)?.groups;
  const unit = plain && unitOf(plain.unit, asked);
  if (!plain || !unit) return;
  for (const digits of spellings(plain.number)) yield signed(plain.sign, digits, unit);
}

/** @param {string} sign @param {string} digits @param {Unit} unit */
function signed(sign, digits, unit) {
  const value = Number(digits) * (sign === "-" ? -1 : 1);
  return Number((value * unit.factor + unit.offset).toPrecision(12));
}

/** @param {string} written @returns {Generator<string>} the plain spellings of a number that may hold commas, points and spaces */
function* spellings(written) {
  const isGrouped = /^\d{1,3}([ ']\d{3})+$/.test(written.split(/[.,]/)[0]);
  const number = isGrouped ? written.replace(/[ ']/g, "") : written;
  if (/[ ']/.test(number)) return;
  const commas = number.split(",").length - 1;
  const points = number.split(".").length - 1;
  if (commas && points) {
    const decimal = Math.max(number.lastIndexOf(","), number.lastIndexOf("."));
    yield `${number.slice(0, decimal).replace(/[.,]/g, "")}.${number.slice(decimal + 1)}`;
  } else if (commas === 1) {
    yield number.replace(",", ".");
    if (/^[1-9]\d{0,2},\d{3}$/.test(number)) yield number.replace(",", "");
  } else if (commas > 1 || points > 1) {
    if (/^\d{1,3}([.,]\d{3})+$/.test(number)) yield number.replace(/[.,]/g, "");
  } else yield number;
}

/** @param {string} written @param {Quantity} asked @returns {Unit|null} by exact case first */
function unitOf(written, asked) {
  const bare = written.replaceAll(" ", "").replace(/[ .]|(?<=[vVaA])(dc|DC|ac|AC|=|~)$/g, "");
  const same = asked.units.filter((it) => it.name.toLowerCase() === bare.toLowerCase());
  const likeness = (/** @type {Unit} */ it) => [...it.name].filter((letter, place) => letter === bare[place]).length;
  return same.reduce((/** @type {Unit|null} */ best, it) => (best === null || likeness(it) > likeness(best) ? it : best), null);
}

/** @param {Quantity[]} quantities @param {string} text @param {Quantity} asked @param {string} range */
function notUnderstood(quantities, text, asked, range) {
  const wanted = `Type ${asked.words} as a number ${range}.`;
  if (text.trim() === "") return `There is no reading yet. ${wanted}`;
  const other = quantities.find((it) => it.name !== asked.name && [...candidates(tidy(text), it)].length > 0);
  return other ? `${shown(text)} looks like ${other.words}. ${wanted}` : `${shown(text)} is not understood. ${wanted}`;
}

/** @param {string} text */
function shown(text) {
  const plain = text.trim().split(/\s+/).join(" ");
  return `‘${plain.length <= MOST_CHARACTERS ? plain : `${plain.slice(0, MOST_CHARACTERS)}...`}’`;
}

/** @param {number} value @returns {string} a number as a person would write it */
function inWords(value) {
  if (Math.abs(value) >= 1e7) return `${Number((value / 1e6).toPrecision(6))} million`;
  if (Math.abs(value) >= 999_999.5) return `${Number((value / 1e6).toPrecision(6))}e+06`; // as the service writes it
  const [whole, part] = String(Number(value.toPrecision(6))).split(".");
  return whole.replace(/\B(?=(\d{3})+$)/g, " ") + (part ? `.${part}` : "");
}
