/** Installs what opens the page without a signal, and offers a newer version when nobody is in the middle of a case. */

/** @type {ServiceWorker|null} */
let newer = null;
/** @type {() => void} */
let tell = () => {};

/** @returns {boolean} whether this address can keep the page */
export function canKeepPage() {
  return "serviceWorker" in navigator;
}

/** @returns {boolean} whether a newer version waits */
export function newerIsReady() {
  return newer !== null;
}

/** @param {() => void} listener  called when a newer version is ready */
export function onNewer(listener) {
  tell = listener;
}

/** Put the newer version in place; the page loads anew with it. */
export function takeNewer() {
  navigator.serviceWorker.addEventListener("controllerchange", () => location.reload(), { once: true });
  newer?.postMessage("take over");
}

/** @returns {Promise<void>} */
export async function installWorker() {
  if (!canKeepPage()) return;
  try {
    const found = await navigator.serviceWorker.register("worker.js", { updateViaCache: "none" });
    watch(found.waiting);
    found.addEventListener("updatefound", () => watch(found.installing));
    await navigator.serviceWorker.ready;
  } catch (error) {
    if (!(error instanceof TypeError || error instanceof DOMException)) throw error; // no signal, or the browser bars it
  }
}

/** @param {ServiceWorker|null} worker */
function watch(worker) {
  if (!worker) return;
  const look = () => {
    if (worker.state !== "installed" || !navigator.serviceWorker.controller) return;
    newer = worker;
    tell();
  };
  worker.addEventListener("statechange", look);
  look();
}
