/** The screens by name: the first is there at once, the others are fetched when they are first wanted. */

import { t } from "./language.js";
import { Trouble } from "./server.js";
import { site } from "./screens/site.js";

/** @import {Screen} from "./context.js" */

const OTHERS = /** @type {Record<string, () => Promise<any>>} */ ({
  symptom: () => import("./screens/symptom.js"),
  list: () => import("./screens/list.js"),
  confirm: () => import("./screens/confirm.js"),
  causes: () => import("./screens/causes.js"),
  check: () => import("./screens/check.js"),
  repair: () => import("./screens/repair.js"),
  done: () => import("./screens/done.js"),
  kept: () => import("./screens/kept.js"),
});

/** @returns {Promise<void>} fetches all screens while there is a signal, so that a lost one stops nobody half way */
export async function fetchAhead() {
  await Promise.allSettled([...Object.values(OTHERS).map((it) => it()), import("./offline/held.js"), import("./answers.js"), import("./request.js")]);
}

/** @param {string} name @returns {Promise<Screen>} */
export async function screenOf(name) {
  return name === "site" ? site : (await fetched(OTHERS[name]))[name];
}

/**
 * @template T
 * @param {() => Promise<T>} load
 * @returns {Promise<T>} the module; throws Trouble when it cannot be fetched
 */
export async function fetched(load) {
  try {
    return await load();
  } catch (error) {
    if (!(error instanceof TypeError)) throw error; // what a browser throws when it cannot fetch a module
    throw new Trouble(t("No connection to the service, and this part of the page is not kept on this phone yet. Try again when there is signal."));
  }
}
