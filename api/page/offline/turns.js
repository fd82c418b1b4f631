/** One at a time, over all tabs of this phone where the browser can do that, else within this tab. */

/** @type {Map<string, Promise<any>>} */
const here = new Map();

/**
 * @template T
 * @param {string} name
 * @param {() => Promise<T>} work
 * @returns {Promise<T>} what the work gives, done when no other work of that name goes on
 */
export function inTurn(name, work) {
  if (navigator.locks) return /** @type {Promise<T>} */ (navigator.locks.request(`ventsleuth ${name}`, work));
  const before = here.get(name) ?? Promise.resolve();
  const going = before.catch(() => {}).then(work);
  here.set(name, going);
  return going;
}
