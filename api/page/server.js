/** The only caller of the service. */

/** @import {Diagnosis, Site, SiteSummary, SymptomEntry} from "./types.js" */

const PATIENCE_MS = 20_000;
const NO_NETWORK = "No connection to the service. What you entered is kept here. Try again when there is signal.";
const TOO_SLOW = "The service did not answer in time. What you entered is kept here. Try again.";
const NOT_OURS = "The answer did not come from the service. Check the address and the network, then try again.";

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

/** @param {object} body @returns {Promise<Diagnosis>} */
export function diagnose(body) {
  return call("v1/diagnoses", { method: "POST", headers: { "Content-Type": "application/json" }, body: JSON.stringify(body) });
}

/** @returns {Promise<SiteSummary[]>} */
export async function sites() {
  return (await call("v1/sites")).sites;
}

/** @param {string} id @returns {Promise<Site>} */
export function site(id) {
  return call(`v1/sites/${encodeURIComponent(id)}`);
}

/** @returns {Promise<SymptomEntry[]>} */
export async function symptoms() {
  return (await call("v1/symptoms")).symptoms;
}

/** @returns {Promise<{id: string, name: string}[]>} all causes that the knowledge has, by name */
export async function causeNames() {
  return (await call("v1/causes")).causes;
}

/** @param {string} path @param {RequestInit} [options] @returns {Promise<any>} */
async function call(path, options) {
  const response = await send(path, options);
  const content = await read(response);
  if (response.ok) return content;
  throw new Trouble(content.detail ?? NOT_OURS, response.status, content.errors ?? []);
}

/** @param {string} path @param {RequestInit} [options] */
async function send(path, options) {
  try {
    return await fetch(path, { ...options, signal: AbortSignal.timeout(PATIENCE_MS) });
  } catch (error) {
    if (error instanceof DOMException && error.name === "TimeoutError") throw new Trouble(TOO_SLOW);
    if (error instanceof TypeError) throw new Trouble(NO_NETWORK); // what fetch throws for every network failure
    throw error;
  }
}

/** @param {Response} response */
async function read(response) {
  try {
    return await response.json();
  } catch (error) {
    if (error instanceof DOMException && error.name === "TimeoutError") throw new Trouble(TOO_SLOW);
    if (error instanceof SyntaxError || error instanceof TypeError) throw new Trouble(NOT_OURS, response.status);
    throw error;
  }
}
