/** Look typed words up among the symptoms without a signal: those whose phrases they are most like come first. */

/** @import {Words} from "./types.js" */

const LEAST_LIKE = 0.12;
const MOST_FOUND = 12;
const STEM = 5; // letters that two forms of a word share
const SHORTEST = 2;

/** @typedef {{id: string, sentences: string[][]}} Entry */
/** @typedef {{entries: Entry[], rarity: Map<string, number>, ideas: Record<string, string>}} Index */

/** @type {WeakMap<Words, Index>} */
const indexes = new WeakMap();

/**
 * @param {Words} words
 * @param {string} text  in any of the page's languages
 * @returns {string[]} ids of symptoms, the likeliest first; none where no word is known
 */
export function lookUp(words, text) {
  const index = indexes.get(words) ?? indexed(words);
  indexes.set(words, index);
  const asked = [...new Set(stems(text, index.ideas))];
  const scored = index.entries.map((it) => ({ id: it.id, score: Math.max(...it.sentences.map((sentence) => likeness(asked, sentence, index.rarity))) }));
  return scored.filter((it) => it.score >= LEAST_LIKE).sort((one, other) => other.score - one.score).slice(0, MOST_FOUND).map((it) => it.id);
}

/** @param {Words} words @returns {Index} */
function indexed(words) {
  const ideas = words.ideas ?? {};
  const names = Object.values(words.languages).map((it) => it.symptoms);
  const entries = words.symptoms.map((it) => {
    const sentences = [it.name, ...names.map((said) => said[it.id] ?? ""), it.means, ...(it.phrases ?? [])];
    return { id: it.id, sentences: sentences.filter(Boolean).map((sentence) => [...new Set(stems(sentence, ideas))]) };
  });
  return { entries, rarity: rarity(entries), ideas };
}

/** @param {string} text @param {Record<string, string>} ideas @returns {string[]} the words by their beginnings; foreign ones by their English */
function stems(text, ideas) {
  const said = text.toLowerCase().normalize("NFC").match(/[\p{L}\d]+/gu) ?? [];
  return said.filter((it) => it.length >= SHORTEST).flatMap((it) => (ideas[it] ?? it).split("-")).map((it) => it.slice(0, STEM));
}

/** @param {Entry[]} entries @returns {Map<string, number>} how much a word tells: the fewer symptoms use it, the more */
function rarity(entries) {
  /** @type {Map<string, number>} */
  const used = new Map();
  for (const entry of entries) for (const word of new Set(entry.sentences.flat())) used.set(word, (used.get(word) ?? 0) + 1);
  return new Map([...used].map(([word, count]) => [word, Math.log((entries.length + 1) / count)]));
}

/** @param {string[]} asked @param {string[]} sentence @param {Map<string, number>} rarity @returns {number} from 0 to 1 */
function likeness(asked, sentence, rarity) {
  const weight = (/** @type {string} */ word) => rarity.get(word) ?? 0;
  const length = (/** @type {string[]} */ all) => Math.sqrt(all.reduce((sum, word) => sum + weight(word) ** 2, 0));
  const shared = asked.reduce((sum, word) => (sentence.includes(word) ? sum + weight(word) ** 2 : sum), 0);
  return shared === 0 ? 0 : shared / (length(asked) * length(sentence));
}
