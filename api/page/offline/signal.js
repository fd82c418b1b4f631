/** Whether the service can be reached, as the last request told, and who wants to know when that changes. */

const TRY_AGAIN_MS = 15_000;

let isLost = false;
let lostAt = 0;
/** @type {Set<() => void>} */
const listeners = new Set();

/** @returns {boolean} whether the last request found no service */
export function signalLost() {
  return isLost;
}

/** @param {number} [now] @returns {boolean} whether it is worth asking the service before answering here */
export function worthAsking(now = Date.now()) {
  return !isLost || now - lostAt > TRY_AGAIN_MS;
}

/** The service answered. */
export function heardFrom() {
  change(false);
}

/** The service did not answer. */
export function lost() {
  lostAt = Date.now();
  change(true);
}

/** @param {() => void} listener  called when the signal is lost or comes back */
export function onSignal(listener) {
  listeners.add(listener);
}

/** @param {boolean} next */
function change(next) {
  if (next === isLost) return;
  isLost = next;
  for (const listener of listeners) listener();
}
