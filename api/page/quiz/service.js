/** The only caller of the trainer's endpoints. */

const PATIENCE_MS = 30_000;
const NO_NETWORK = "No connection to the service. What you answered is kept. Try again when there is signal.";

/** A request that was not answered as hoped, with words for people. */
export class Trouble extends Error {
  /** @param {string} says @param {number} [status] */
  constructor(says, status = 0) {
    super(says);
    this.status = status;
  }
}

/** @param {string} path @returns {Promise<any>} */
export const read = (path) => call(path);

/** @param {string} path @param {object} [body] @returns {Promise<any>} */
export const post = (path, body) => call(path, "POST", body ?? {});

/** @param {string} path @param {object} body @returns {Promise<any>} */
export const put = (path, body) => call(path, "PUT", body);

/** @param {string} path @returns {Promise<any>} */
export const remove = (path) => call(path, "DELETE");

/** @param {string} path @param {string} [method] @param {object} [body] */
async function call(path, method = "GET", body = undefined) {
  const headers = body ? { "Content-Type": "application/json" } : undefined;
  const response = await send(`/v1/${path}`, { method, headers, body: body && JSON.stringify(body) });
  if (response.status === 204) return null;
  const content = await response.json().catch(() => ({}));
  if (response.ok) return content;
  throw new Trouble(content.detail ?? NO_NETWORK, response.status);
}

/** @param {string} path @param {RequestInit} options */
async function send(path, options) {
  try {
    return await fetch(path, { ...options, signal: AbortSignal.timeout(PATIENCE_MS) });
  } catch {
    throw new Trouble(NO_NETWORK);
  }
}
