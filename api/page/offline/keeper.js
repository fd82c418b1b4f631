/** Keep on this phone what diagnosing without a signal needs, and say how old it is. */

import { Trouble, casePack, changed } from "../server.js";
import { NoRoom, read, readAll, remove, write } from "./store.js";

/** @import {Pack, Question, Words} from "./types.js" */

/** @typedef {{content: any, tag: string|null, at: number}} Kept  `at` is this phone's clock in milliseconds */
/** @typedef {{words: boolean, site: Kept|null}} Held */

const WORDS = "pack words";
const MOST_CASES = 8;
export const NO_SITE = "no-site";

const MOST_IN_MEMORY = 6;
const FORMAT = 1; // of the packs this page can read; a newer page reads newer ones

/** @type {Map<string, Promise<void>>} */
const underWay = new Map();
/** @type {Map<string, Kept>} large packs that were read lately: each answer needs them at once */
const inMemory = new Map();
/** @type {Set<string>} names nothing is kept under, so that each answer need not look again */
const absent = new Set();

/**
 * Fetch what belongs to a site, or see that the copies are still good; quiet when there is no signal.
 *
 * @param {string|null} site
 * @returns {Promise<void>} throws NoRoom
 */
export function keepSite(site) {
  const name = nameOf(site);
  const going = underWay.get(name) ?? refresh(name, pathOf(site)).finally(() => underWay.delete(name));
  underWay.set(name, going);
  return going;
}

/** @param {string} name @param {string} path */
async function refresh(name, path) {
  await navigator.storage?.persist?.().catch(() => false); // a browser that refuses still keeps them for a while
  await Promise.all([fetched(WORDS, "v1/pack/words"), fetched(name, path)]);
}

/** @param {string} name @param {string} path */
async function fetched(name, path) {
  const kept = await held(name);
  try {
    const found = await changed(path, kept?.tag ?? null);
    if (!isReadable(found?.content)) return; // of a newer service: the copy stays until the newer page is in place
    await keep(name, { content: found?.content ?? kept?.content, tag: found?.tag ?? kept?.tag ?? null, at: Date.now() });
  } catch (error) {
    if (!(error instanceof Trouble)) throw error; // without a signal the copy stays as it is
  }
}

/** @param {any} content  nothing where the copy is still good @returns {boolean} */
function isReadable(content) {
  return (content?.format ?? FORMAT) === FORMAT;
}

/** @param {string} name @returns {Promise<Kept|undefined>} */
async function held(name) {
  if (absent.has(name)) return undefined;
  const found = inMemory.get(name) ?? (await read("kept", name));
  if (found) remember(name, found);
  else absent.add(name);
  return found;
}

/** @param {string} name @param {Kept} pack @returns {Promise<void>} throws NoRoom, and then holds it for this tab only */
async function keep(name, pack) {
  remember(name, pack);
  await write("kept", name, pack);
  await write("kept", `about ${name}`, { name: pack.content.name ?? name, at: pack.at });
}

/** @param {string} name @param {Kept} pack */
function remember(name, pack) {
  absent.delete(name);
  inMemory.delete(name);
  inMemory.set(name, pack);
  if (inMemory.size > MOST_IN_MEMORY) inMemory.delete(/** @type {string} */ (inMemory.keys().next().value));
}

/** @param {string} name */
async function forget(name) {
  inMemory.delete(name);
  await Promise.all([remove("kept", name), remove("kept", `about ${name}`)]);
}

/** @param {string|null} site @returns {Promise<Kept|undefined>} the pack of a site */
export function sitePack(site) {
  return held(nameOf(site));
}

/** @returns {Promise<Words|undefined>} */
export async function keptWords() {
  return (await held(WORDS))?.content;
}

/** @param {Question} question @returns {Promise<Kept|undefined>} the pack of this very case */
export function keptCase(question) {
  return held(caseName(question));
}

/** @param {Question} question  @returns {Promise<void>} keeps the case of the question, opened by the service */
export async function keepCase(question) {
  const name = caseName(question);
  if (underWay.has(name) || (await held(name))) return;
  const { findings, repaired, why_not, crew, remote, ...opening } = question;
  const going = casePack(opening).then(async (content) => {
    if (!isReadable(content)) return;
    await keep(name, { content, tag: null, at: Date.now() });
    await dropOldCases();
  });
  underWay.set(name, going);
  await going.catch(quietly).finally(() => underWay.delete(name));
}

/** @param {unknown} error */
function quietly(error) {
  if (!(error instanceof Trouble || error instanceof NoRoom)) throw error; // the case goes on with the pack of its site
}

async function dropOldCases() {
  const cases = await readAll("kept", "about case ");
  const oldest = cases.sort((one, other) => other[1].at - one[1].at).slice(MOST_CASES);
  await Promise.all(oldest.map(([key]) => forget(String(key).slice("about ".length))));
}

/** @returns {Promise<{id: string, name: string, at: number}[]>} the sites whose packs are kept, with their age */
export async function keptSites() {
  const found = await readAll("kept", "about pack site ");
  return found.map(([key, about]) => ({ id: String(key).slice("about pack site ".length), name: about.name, at: about.at }));
}

/** @param {string|null} site @returns {Promise<void>} */
export function forgetSite(site) {
  return forget(nameOf(site));
}

/** @param {Question} it */
function caseName(it) {
  return `case ${JSON.stringify([it.site, it.at, it.symptoms, it.told, it.events])}`;
}

/** @param {string|null} site */
function nameOf(site) {
  return site === null ? `pack ${NO_SITE}` : `pack site ${site}`;
}

/** @param {string|null} site */
function pathOf(site) {
  return site === null ? "v1/pack/no-site" : `v1/sites/${encodeURIComponent(site)}/pack`;
}
