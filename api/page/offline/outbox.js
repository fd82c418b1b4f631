/** What was done on this phone and has yet to reach the service: sent in order, each thing once. */

import { Trouble, clockAhead, get, post, postFile } from "../server.js";
import { newKey } from "./keys.js";
import { worthAsking } from "./signal.js";
import { append, read, readAll, remove, write } from "./store.js";
import { inTurn } from "./turns.js";

/**
 * @typedef {object} Waiting
 * @property {string} key  made when it was queued and never changed, so that the service takes it once
 * @property {string} record  the case on this phone
 * @property {"open"|"events"|"file"} what
 * @property {object} body  a file for what is one
 * @property {string[]} steps  names of the steps its events stand for, in their order
 * @property {string|null} takesBack  name of the step it takes back
 * @property {string} says  in words, for the list
 * @property {string|null} refused  why the service did not take it
 *
 * @typedef {{id: string, tag: string|null, seqs: Record<string, number>, last: number, conflict: string|null}} Sent
 */

const TRY_LATER = new Set([401, 408, 425, 429]);
const CHANGED_MEANWHILE = 412;
const NOT_SIGNED_IN = 401;

let isSignedOut = false;

/** @type {Set<() => void>} */
const listeners = new Set();

/** @param {() => void} listener  called when what waits changes */
export function onOutbox(listener) {
  listeners.add(listener);
}

/** @returns {Promise<[IDBValidKey, Waiting][]>} all that waits, oldest first */
export function waiting() {
  return readAll("outbox");
}

/** @returns {boolean} whether the last thing could not be sent for want of signing in */
export function needsSignIn() {
  return isSignedOut;
}

/** @param {string} record @returns {Promise<Sent|undefined>} what the service knows of a case of this phone */
export function sentOf(record) {
  return read("kept", `sent ${record}`);
}

/**
 * @param {Omit<Waiting, "key"|"refused">} thing
 * @returns {Promise<void>} when it is safe on this phone; throws NoRoom
 */
export async function queue(thing) {
  await append("outbox", { ...thing, key: newKey(), refused: null });
  tellAll();
  if (worthAsking()) void sendAll(); // a lost signal is looked for again by itself
}

/** @param {IDBValidKey} place @returns {Promise<void>} */
export async function discard(place) {
  await remove("outbox", place);
  tellAll();
}

/** @param {string} record @returns {Promise<void>} somebody has read that others changed the case */
export async function seeConflict(record) {
  const known = await sentOf(record);
  if (known) await write("kept", `sent ${record}`, { ...known, conflict: null });
  tellAll();
}

/** @returns {string} now, by the service's clock as last heard */
export function noted() {
  return new Date(Date.now() + clockAhead()).toISOString();
}

/** @returns {Promise<void>} when all was sent that could be */
export function sendAll() {
  return inTurn("sending", async () => {
    for (const [place, thing] of await waiting()) {
      if (thing.refused !== null) continue;
      if (!(await sent(place, thing))) break;
    }
  }).finally(tellAll);
}

/** @param {IDBValidKey} place @param {Waiting} thing @returns {Promise<boolean>} whether to go on with the next */
async function sent(place, thing) {
  try {
    await deliver(thing);
    await remove("outbox", place);
    isSignedOut = false;
    return true;
  } catch (error) {
    if (!(error instanceof Trouble)) throw error;
    isSignedOut = error.status === NOT_SIGNED_IN;
    if (error.status === 0 || error.status >= 500 || TRY_LATER.has(error.status)) return false;
    await write("outbox", place, { ...thing, refused: error.message });
    return true;
  } finally {
    tellAll();
  }
}

/** @param {Waiting} thing */
async function deliver(thing) {
  const known = await sentOf(thing.record);
  if (thing.what === "open") return note(thing, known, await post("v1/cases", thing.body, { "Idempotency-Key": thing.key }));
  if (!known) throw new Trouble("The case itself did not reach the service, so this cannot be added to it.", 404);
  if (thing.body instanceof Blob) return note(thing, known, await postFile(`v1/cases/${known.id}/attachments`, thing.body, thing.key));
  const path = `v1/cases/${known.id}/events`;
  const body = withNumbers(thing, known);
  try {
    await note(thing, known, await post(path, body, { "Idempotency-Key": thing.key, "If-Match": known.tag ?? "*" }));
  } catch (error) {
    if (!(error instanceof Trouble) || error.status !== CHANGED_MEANWHILE) throw error;
    const others = await get(`v1/cases/${known.id}/events?after=${known.last}&limit=100`);
    await noteOthers(thing.record, others.events);
    await note(thing, await sentOf(thing.record), await post(path, body, { "Idempotency-Key": thing.key, "If-Match": "*" }));
  }
}

/** @param {Waiting} thing @param {Sent} known @returns {any} its body, with the service's number of the step it takes back */
function withNumbers(thing, known) {
  if (thing.takesBack === null) return thing.body;
  const seq = known.seqs[thing.takesBack] ?? numberIn(thing.takesBack);
  if (seq === undefined) throw new Trouble("What this takes back did not reach the service.", 404);
  const { events } = /** @type {{events: any[]}} */ (thing.body);
  return { events: events.map((it) => (it.kind === "took-back" ? { ...it, seq } : it)) };
}

/** @param {string} name @returns {number|undefined} the service's number of a step that was taken over from it */
function numberIn(name) {
  return name.startsWith("seq ") ? Number(name.slice("seq ".length)) : undefined;
}

/** @param {Waiting} thing @param {Sent|undefined} known @param {{content: any, tag: string|null}} answer */
async function note(thing, known, answer) {
  const { id } = answer.content.case;
  const added = answer.content.events.filter((/** @type {any} */ it) => it.kind === "answer" || it.kind === "repair");
  const seqs = { ...known?.seqs, ...Object.fromEntries(thing.steps.map((name, place) => [name, added[place]?.seq])) };
  const last = answer.content.events.at(-1)?.seq ?? known?.last ?? 0;
  await write("kept", `sent ${thing.record}`, { id, tag: answer.tag, seqs, last, conflict: known?.conflict ?? null });
}

/**
 * @param {string} record
 * @param {{seq: number, kind: string, data: any}[]} events  of the case; those that this phone knows are left out
 * @returns {Promise<void>}
 */
export async function noteOthers(record, events) {
  const known = await sentOf(record);
  const others = known ? events.filter((it) => it.seq > known.last) : [];
  if (!known || others.length === 0) return;
  const says = others.filter((it) => it.kind !== "understood").map(inWords);
  const conflict = [known.conflict, ...says].filter(Boolean).join("; ");
  await write("kept", `sent ${record}`, { ...known, last: others[others.length - 1].seq, conflict });
  tellAll();
}

/** @param {{kind: string, data: any}} it */
function inWords(it) {
  const kind = it.kind.replaceAll("-", " ");
  const { data } = it;
  if (data.check) return `${kind}, ${data.check.replaceAll("-", " ")}: ${data.outcome.replaceAll("-", " ")}`;
  return data.text ? `${kind}: ${data.text}` : kind;
}

function tellAll() {
  for (const listener of listeners) listener();
}
