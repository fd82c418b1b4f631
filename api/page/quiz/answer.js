/** What is chosen in a question, as values: pure, tested in Node. */

/**
 * @typedef {{letter: string, text: string}} Choice
 * @typedef {{id: string, kind: string, topic: string, response: "choice"|"order"|"match", stem: string[], lead_in: string, prompts: string[], choices: Choice[], is_partly_english: boolean}} Asked
 * @typedef {{item: string, is_right: boolean, given: string[], right: string[], why: string, explanation: string, references: string[]}} Mark
 */

/** @param {Asked} asked @param {string[]|undefined} given @returns {string[]} what stands in the question at first */
export function atFirst(asked, given) {
  if (given) return [...given];
  if (asked.response === "order") return asked.choices.map((it) => it.letter);
  return Array(asked.response === "match" ? asked.prompts.length : 1).fill("");
}

/** @param {string[]} letters @returns {boolean} whether something is chosen everywhere */
export function isComplete(letters) {
  return letters.length > 0 && letters.every(Boolean);
}

/** @param {string[]} letters @param {number} place @param {number} by @returns {string[]} the order with one step moved */
export function moved(letters, place, by) {
  const other = place + by;
  if (other < 0 || other >= letters.length) return letters;
  const after = [...letters];
  [after[place], after[other]] = [letters[other], letters[place]];
  return after;
}

/** @param {Asked} asked @param {string[]} letters @returns {string} an answer in words */
export function inWords(asked, letters) {
  const texts = new Map(asked.choices.map((it) => [it.letter, it.text]));
  const said = letters.map((it) => texts.get(it) ?? "–");
  if (asked.response === "match") return asked.prompts.map((it, place) => `${it}: ${said[place]}`).join("; ");
  return said.join(" → ");
}

/**
 * @param {Asked[]} questions
 * @param {Record<string, string[]>} answers
 * @returns {number} the place of the first question without an answer; the last place when all have one
 */
export function firstOpen(questions, answers) {
  const place = questions.findIndex((it) => !(it.id in answers));
  return place < 0 ? questions.length - 1 : place;
}

/** @param {number} right @param {number} asked @returns {string} a share in per cent */
export function share(right, asked) {
  return asked ? `${Math.round((100 * right) / asked)} %` : "–";
}
