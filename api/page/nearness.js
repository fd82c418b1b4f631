/** Put near sites first: the phone asks where it is only at a tap, and works the distances out by itself. */

import { button, make } from "./elements.js";
import { positions } from "./known.js";
import { locale, t } from "./language.js";
import { Trouble } from "./server.js";

/** @import {Context} from "./context.js" */

const EARTH_M = 6_371_000; // mean radius, IUGG
const PATIENCE_MS = 15_000;
const OLD_ENOUGH_MS = 60_000;
const FAR_M = 950;

/**
 * @param {Context} context
 * @param {(away: Map<string, number>) => void} use  is given metres by site
 * @returns {HTMLElement[]} a button; nothing where the phone cannot tell where it is
 */
export function nearness(context, use) {
  if (!("geolocation" in navigator)) return [];
  const says = make("p", { class: "soft", role: "status" });
  const find = () => context.once(async () => {
    says.replaceChildren(t("Finding out where this phone is."));
    says.replaceChildren(await found(context, use));
  });
  return [button(t("Nearest first"), () => void find(), "quiet"), says];
}

/** @param {Context} context @param {(away: Map<string, number>) => void} use @returns {Promise<string>} what to say about it */
async function found(context, use) {
  try {
    const [here, sites] = await Promise.all([position(), context.fetch(positions())]);
    if (here === null) return t("This phone does not say where it is. Choose from the list.");
    use(new Map(sites.map((it) => [it.id, metres(here, it)])));
    return sites.length ? t("Nearest first. Where you are stays on this phone.") : t("No site's description says where it is.");
  } catch (error) {
    if (error instanceof Trouble) return error.message;
    throw error;
  }
}

/** @returns {Promise<{latitude: number, longitude: number}|null>} nothing when it may or can not be known */
function position() {
  return new Promise((resolve) => navigator.geolocation.getCurrentPosition((it) => resolve(it.coords), () => resolve(null), { timeout: PATIENCE_MS, maximumAge: OLD_ENOUGH_MS }));
}

/**
 * @template {{id: string}} T
 * @param {T[]} sites
 * @param {Map<string, number>} away
 * @returns {T[]} near ones first, then those of which nobody knows where they are
 */
export function nearestFirst(sites, away) {
  const metresTo = (/** @type {T} */ it) => away.get(it.id) ?? Infinity;
  return [...sites].sort((one, other) => (metresTo(one) === metresTo(other) ? 0 : metresTo(one) - metresTo(other)));
}

/** @param {{latitude: number, longitude: number}} one @param {{latitude: number, longitude: number}} other @returns {number} along the ground, by the haversine formula */
export function metres(one, other) {
  const radians = (/** @type {number} */ degrees) => (degrees * Math.PI) / 180;
  const half = (/** @type {number} */ angle) => Math.sin(radians(angle) / 2) ** 2;
  const chord = half(other.latitude - one.latitude) + Math.cos(radians(one.latitude)) * Math.cos(radians(other.latitude)) * half(other.longitude - one.longitude);
  return 2 * EARTH_M * Math.asin(Math.sqrt(chord));
}

/** @param {number} away  in metres @returns {string} */
export function distanceWords(away) {
  if (away < FAR_M) return t("{count} m away", { count: Math.round(away / 50) * 50 });
  const digits = new Intl.NumberFormat(locale(), { maximumFractionDigits: away < 9_950 ? 1 : 0 });
  return t("{count} km away", { count: digits.format(away / 1000) });
}
