/** What the service knows of sites, symptoms and causes: asked of it first, from what this phone keeps otherwise. */

import { languageNow } from "./language.js";
import { keptSites, keptWords } from "./offline/keeper.js";
import { read, write } from "./offline/store.js";
import { worthAsking } from "./offline/signal.js";
import { Trouble, get } from "./server.js";

/** @import {Site, SiteSummary, SymptomEntry} from "./types.js" */

const PATIENCE_WITH_COPY_MS = 4_000;

/** @returns {Promise<SiteSummary[]>} each with when this phone kept it, if it did */
export async function sites() {
  const [copies, found] = await Promise.all([keptSites(), known("v1/sites")]);
  const kept = new Map(copies.map((it) => [it.id, it.at]));
  return found.sites.map((/** @type {SiteSummary} */ it) => ({ ...it, kept_at: kept.get(it.id) ?? null }));
}

/** @param {string} id @returns {Promise<Site>} */
export function site(id) {
  return known(`v1/sites/${encodeURIComponent(id)}`);
}

/** @returns {Promise<SymptomEntry[]>} named in the language of the page once this phone keeps the words */
export async function symptoms() {
  const words = await keptWords();
  const found = (await known("v1/symptoms", words && { symptoms: words.symptoms })).symptoms;
  const names = words?.languages[languageNow()]?.symptoms ?? {};
  return found.map((/** @type {SymptomEntry} */ it) => ({ ...it, name: names[it.id] ?? it.name }));
}

/** @returns {Promise<{id: string, name: string}[]>} all causes that the knowledge has, by name */
export async function causeNames() {
  return (await known("v1/causes")).causes;
}

/** @returns {Promise<{id: string, latitude: number, longitude: number}[]>} where the sites are whose descriptions say so */
export async function positions() {
  return (await known("v1/pack/positions")).positions;
}

/** @param {string} path @param {any} [other]  what stands in for a copy @returns {Promise<any>} */
async function known(path, other) {
  const copy = (await read("kept", `answer ${path}`)) ?? (other && { content: other });
  if (copy && !worthAsking()) return copy.content;
  try {
    const content = await get(path, copy ? PATIENCE_WITH_COPY_MS : undefined);
    await write("kept", `answer ${path}`, { content, at: Date.now() }).catch(() => {}); // no room for a copy: the answer counts
    return content;
  } catch (error) {
    if (copy && error instanceof Trouble && error.status === 0) return copy.content;
    throw error;
  }
}
