/** What goes on beside the screens: keep sites, send what waits, show the signs, install what opens the page offline. */

import { showBand } from "./band.js";
import { make } from "./elements.js";
import { site } from "./known.js";
import { t } from "./language.js";
import { followOthers } from "./live.js";
import { keepSite } from "./offline/keeper.js";
import { sendAll } from "./offline/outbox.js";
import { lost, onSignal, signalLost } from "./offline/signal.js";
import { NoRoom } from "./offline/store.js";
import { onNotKept } from "./recording.js";
import { onRing } from "./ring.js";
import { fetchAhead } from "./screens.js";
import { Trouble, get } from "./server.js";
import { installWorker, onNewer } from "./worker_link.js";

/** @import {Case} from "./types.js" */

const TRY_AGAIN_MS = 20_000;
const SHORT_PATIENCE_MS = 4_000;
const NO_ROOM = "This phone has no room left to keep more. This site works only with a signal until there is some.";

/**
 * @param {{subject: () => Case, change: (next: Case) => void, part: (selector: string) => HTMLElement, repaint: (step: string) => void}} page
 * @returns {{keep: () => Promise<void>, drawBand: () => void}}
 */
export function startAfterwards(page) {
  const drawBand = showBand(page.part("[data-band]"), page.subject, page.change);
  const says = (/** @type {string} */ look, /** @type {string} */ text) => addOnce(page.part("[data-full]"), look, t(text));
  onRing((text) => says("notice", text));
  onNotKept((text) => says("error", text));
  onNewer(() => page.repaint("site"));
  watchSignal();
  followOthers(page.subject);
  void installWorker().then(fetchAhead);
  void reachAgain();
  const keep = async () => {
    if (!(await kept(page.subject()))) says("notice", NO_ROOM);
    drawBand();
    page.repaint("kept");
  };
  if (page.subject().siteName !== null) void keep();
  return { keep, drawBand };
}

/** @param {HTMLElement} place @param {string} look @param {string} text  is shown below what is shown there already */
function addOnce(place, look, text) {
  const line = make("p", { class: look, role: "alert" }, text);
  for (const it of place.children) if (it.textContent === line.textContent) it.remove();
  place.append(line);
}

/** @param {Case} subject @returns {Promise<boolean>} whether there was room for what the site needs without a signal */
async function kept(subject) {
  try {
    await Promise.all([keepSite(subject.site), subject.site === null ? null : site(subject.site)]);
    return true;
  } catch (error) {
    if (error instanceof NoRoom) return false;
    ignoreTrouble(error);
    return true;
  }
}

function watchSignal() {
  addEventListener("offline", lost); // the browser knows at once what a request would only find out
  if (!navigator.onLine) lost();
  addEventListener("online", () => void reachAgain());
  addEventListener("visibilitychange", () => {
    if (document.visibilityState === "visible") void reachAgain();
  });
  setInterval(() => {
    if (signalLost()) void reachAgain();
  }, TRY_AGAIN_MS);
  onSignal(() => {
    if (!signalLost()) void reachAgain();
  });
}

/** See whether the service answers, and send what waits. */
async function reachAgain() {
  await sendAll();
  if (!signalLost()) return;
  await get("healthz", SHORT_PATIENCE_MS).then(() => sendAll(), ignoreTrouble);
}

/** @param {unknown} error */
function ignoreTrouble(error) {
  if (!(error instanceof Trouble)) throw error;
}
