/** The only caller of the service. */

import { t } from "./language.js";
import { heardFrom, lost } from "./offline/signal.js";

/** @import {Diagnosis} from "./types.js" */

const PATIENCE_MS = 20_000;
const LONG_PATIENCE_MS = 120_000; // a large pack over a slow line, which nobody waits for
const NOT_CHANGED = 304;
const NO_NETWORK = "No connection to the service. What you entered is kept here. Try again when there is signal.";
const TOO_SLOW = "The service did not answer in time. What you entered is kept here. Try again.";
const NOT_OURS = "The answer did not come from the service. Check the address and the network, then try again.";

const HOME = new URL("./", import.meta.url); // the same for pages in folders
let ahead = 0;

/** A request that was not answered as hoped, with words for people. */
export class Trouble extends Error {
  /**
   * @param {string} says
   * @param {number} status  0 when nothing came back
   * @param {{field: string, detail: string}[]} errors
   */
  constructor(says, status = 0, errors = []) {
    super(says);
    this.status = status;
    this.errors = errors;
  }

  /** @param {string} field @returns {string|null} what is wrong with this field of the request */
  about(field) {
    return this.errors.find((it) => it.field === field)?.detail ?? null;
  }
}

/** @param {object} body @param {number} [patience] milliseconds @returns {Promise<Diagnosis>} */
export function diagnose(body, patience) {
  return call("v1/diagnoses", posted(body), patience);
}

/** @param {object} body @returns {Promise<any>} the case of the question, opened */
export function casePack(body) {
  return call("v1/pack/case", posted(body));
}

/** @param {string} path @param {number} [patience] @returns {Promise<any>} */
export function get(path, patience) {
  return call(path, {}, patience);
}

/**
 * @param {string} path
 * @param {object} body
 * @param {Record<string, string>} headers
 * @returns {Promise<{content: any, tag: string|null}>}
 */
export async function post(path, body, headers) {
  const options = posted(body);
  const response = await send(path, { ...options, headers: { ...options.headers, ...headers } }, PATIENCE_MS);
  const content = await checked(response);
  return { content, tag: response.headers.get("ETag") };
}

/**
 * @param {string} path
 * @param {Blob} file
 * @param {string} key  made once for this file
 * @returns {Promise<{content: any, tag: string|null}>}
 */
export async function postFile(path, file, key) {
  const name = encodeURIComponent((file instanceof File && file.name) || "photo");
  const headers = { "Content-Type": file.type || "application/octet-stream", "Idempotency-Key": key };
  const response = await send(`${path}?name=${name}`, { method: "POST", headers, body: file }, LONG_PATIENCE_MS);
  return { content: await checked(response), tag: response.headers.get("ETag") };
}

/**
 * @param {string} path
 * @param {string|null} tag  of the copy that is kept
 * @returns {Promise<{content: any, tag: string|null}|null>} nothing when the copy is as good
 */
export async function changed(path, tag) {
  const response = await send(path, { headers: tag ? { "If-None-Match": tag } : {} }, LONG_PATIENCE_MS);
  if (response.status === NOT_CHANGED) return null;
  return { content: await checked(response), tag: response.headers.get("ETag") };
}

/** @returns {number} by how many milliseconds the service's clock is ahead of this phone's, as last heard */
export function clockAhead() {
  return ahead;
}

/** @param {object} body */
function posted(body) {
  return { method: "POST", headers: { "Content-Type": "application/json" }, body: JSON.stringify(body) };
}

/** @param {string} path @param {RequestInit} [options] @param {number} [patience] @returns {Promise<any>} */
async function call(path, options, patience = PATIENCE_MS) {
  return checked(await send(path, options ?? {}, patience));
}

/** @param {Response} response */
async function checked(response) {
  const content = await read(response);
  if (response.ok) return content;
  throw new Trouble(content.detail ?? t(NOT_OURS), response.status, content.errors ?? []);
}

/** @param {string} path @param {RequestInit} options @param {number} patience */
async function send(path, options, patience) {
  try {
    const response = await fetch(new URL(path, HOME), { ...options, cache: "no-store", signal: AbortSignal.timeout(patience) });
    heardFrom();
    ahead = Date.parse(response.headers.get("Date") ?? "") - Date.now() || 0;
    return response;
  } catch (error) {
    if (error instanceof DOMException && error.name === "TimeoutError") throw unheard(TOO_SLOW);
    if (error instanceof TypeError) throw unheard(NO_NETWORK); // what fetch throws for every network failure
    throw error;
  }
}

/** @param {string} says */
function unheard(says) {
  lost();
  return new Trouble(t(says));
}

/** @param {Response} response */
async function read(response) {
  try {
    return await response.json();
  } catch (error) {
    if (error instanceof DOMException && error.name === "TimeoutError") throw new Trouble(t(TOO_SLOW));
    if (error instanceof SyntaxError || error instanceof TypeError) throw new Trouble(t(NOT_OURS), response.status);
    throw error;
  }
}
