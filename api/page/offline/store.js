/** Keep things on this phone beyond the tab: in its database, or in memory where it has none. */

/** The phone has no room left; nothing was lost that was kept before. */
export class NoRoom extends Error {}

const NAME = "ventsleuth";
const VERSION = 1;
const SHELVES = /** @type {const} */ (["kept", "outbox"]);

/** @typedef {typeof SHELVES[number]} Shelf */

/** @type {Promise<IDBDatabase|null>|null} */
let opening = null;
/** @type {Record<string, Map<IDBValidKey, any>>} */
const inMemory = { kept: new Map(), outbox: new Map() };

/** @param {Shelf} shelf @param {IDBValidKey} key @returns {Promise<any>} undefined when there is none */
export async function read(shelf, key) {
  return work(shelf, "readonly", (it) => it.get(key), (held) => held.get(key));
}

/**
 * @param {Shelf} shelf
 * @param {string} [prefix]  of the keys wanted; all when left out
 * @returns {Promise<[IDBValidKey, any][]>} in order of key
 */
export async function readAll(shelf, prefix = "") {
  const range = prefix === "" ? undefined : IDBKeyRange.bound(prefix, `${prefix}\uffff`);
  /** @type {IDBRequest} */
  let keys;
  const values = await work(shelf, "readonly", (it) => {
    keys = it.getAllKeys(range);
    return it.getAll(range);
  }, (held) => [...held].filter(([key]) => String(key).startsWith(prefix)));
  // @ts-ignore -- without a database the pairs are there already
  return keys === undefined ? values : keys.result.map((key, place) => [key, values[place]]);
}

/**
 * @param {Shelf} shelf  whose keys are numbers
 * @param {any} value
 * @returns {Promise<void>} when it stands behind all others, whichever tab adds at the same time; throws NoRoom
 */
export async function append(shelf, value) {
  await work(shelf, "readwrite", (it) => {
    const last = it.openKeyCursor(null, "prev");
    last.onsuccess = () => it.put(value, Number(last.result?.key ?? 0) + 1);
    return last;
  }, (held) => void held.set(Math.max(0, ...[...held.keys()].map(Number)) + 1, value));
}

/** @param {Shelf} shelf @param {IDBValidKey} key @param {any} value @returns {Promise<void>} throws NoRoom */
export async function write(shelf, key, value) {
  await work(shelf, "readwrite", (it) => it.put(value, key), (held) => void held.set(key, value));
}

/** @param {Shelf} shelf @param {IDBValidKey} key @returns {Promise<void>} */
export async function remove(shelf, key) {
  await work(shelf, "readwrite", (it) => it.delete(key), (held) => void held.delete(key));
}

/** @returns {Promise<boolean>} whether things outlive this tab */
export async function outlivesTab() {
  return (await database()) !== null;
}

/**
 * @param {Shelf} shelf
 * @param {IDBTransactionMode} mode
 * @param {(it: IDBObjectStore) => IDBRequest} ask
 * @param {(held: Map<IDBValidKey, any>) => any} askMemory
 * @returns {Promise<any>}
 */
async function work(shelf, mode, ask, askMemory) {
  const base = await database();
  if (base === null) return askMemory(inMemory[shelf]);
  try {
    return await transacted(base, shelf, mode, ask);
  } catch (error) {
    if (!(error instanceof DOMException && error.name === "InvalidStateError")) throw error;
    opening = null; // the storage was cleared under our feet: open it anew
    return work(shelf, mode, ask, askMemory);
  }
}

/** @param {IDBDatabase} base @param {Shelf} shelf @param {IDBTransactionMode} mode @param {(it: IDBObjectStore) => IDBRequest} ask */
function transacted(base, shelf, mode, ask) {
  return new Promise((resolve, reject) => {
    const transaction = base.transaction(shelf, mode, { durability: "strict" });
    const request = ask(transaction.objectStore(shelf));
    transaction.oncomplete = () => resolve(request.result);
    transaction.onabort = () => reject(reason(transaction.error ?? request.error));
  });
}

/** @param {DOMException|null} error */
function reason(error) {
  return error?.name === "QuotaExceededError" ? new NoRoom("This phone has no room left to keep more.") : error;
}

/** @returns {Promise<IDBDatabase|null>} nothing where the phone bars its database */
function database() {
  opening ??= new Promise((resolve) => {
    if (!("indexedDB" in globalThis)) return resolve(null);
    const request = indexedDB.open(NAME, VERSION);
    request.onupgradeneeded = () => SHELVES.forEach((name) => request.result.createObjectStore(name));
    request.onerror = request.onblocked = () => resolve(null);
    request.onsuccess = () => {
      request.result.onversionchange = () => request.result.close();
      request.result.onclose = () => (opening = null); // the person cleared the storage: the next use opens it anew
      resolve(request.result);
    };
  });
  return opening;
}
