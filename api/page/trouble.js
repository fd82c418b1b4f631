/** Show that a request did not go well, beside what it was for. */

import { make } from "./elements.js";
import { Trouble } from "./server.js";

/** @import {Context} from "./context.js" */

/** @param {Trouble} error @returns {HTMLElement} */
export function troublePanel(error) {
  return make("div", { class: "error", role: "alert" }, make("p", {}, error.message));
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
