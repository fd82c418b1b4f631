/** Show that a request did not go well, beside what it was for. */

import { link, make } from "./elements.js";
import { t } from "./language.js";
import { leavePlace } from "./memory.js";
import { Trouble } from "./server.js";

/** @import {Context} from "./context.js" */

const NOT_SIGNED_IN = 401;

/** @param {Trouble} error @returns {HTMLElement} */
export function troublePanel(error) {
  return make("div", { class: "error", role: "alert" }, make("p", {}, error.message), ...signIn(error));
}

/** @param {{status: number}} error @returns {HTMLElement[]} the way to sign in, which comes back to this place in the case */
export function signIn(error) {
  if (error.status !== NOT_SIGNED_IN) return [];
  const way = link(t("Sign in"), "/sign-in");
  way.addEventListener("click", leavePlace);
  return [make("p", {}, t("Nothing is lost: after signing in the case goes on here.")), way];
}

/**
 * Do the work once; when it fails, say so in the place given and keep the screen.
 *
 * @param {Context} context
 * @param {HTMLElement} place
 * @param {() => Promise<void>} work
 * @returns {Promise<void>}
 */
export function trying(context, place, work) {
  return context.once(async () => {
    place.replaceChildren();
    try {
      await work();
    } catch (error) {
      if (!(error instanceof Trouble)) throw error;
      place.replaceChildren(troublePanel(error));
      place.scrollIntoView({ block: "center" });
    }
  });
}
