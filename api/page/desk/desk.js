/** The helpdesk's view on a wide screen: cases, one case as it goes on, and the next question to read out. */

import { button, make } from "../elements.js";
import { newKey } from "../offline/keys.js";
import { Trouble, get, post } from "../server.js";
import { troublePanel } from "../trouble.js";
import { now } from "./now.js";
import { caseList, newCall } from "./cases.js";
import { noteEntry, talk } from "./talk.js";

/** @import {Diagnosis} from "../types.js" */
/** @import {Words} from "../offline/types.js" */

/**
 * @typedef {{id: string, title: string, site: string|null, status: string, leading_cause: string|null, updated_at: string, version: number, remote_mode?: boolean}} CaseRow
 * @typedef {{seq: number, kind: string, at: string, by: string, data: any}} CaseEvent
 * @typedef {object} Desk
 * @property {(id: string) => Promise<void>} open  shows a case and follows it
 * @property {(events: object[]) => Promise<void>} add  adds events to the case that is open
 * @property {(body: object) => Promise<void>} call  opens a new case
 * @property {() => string|null} shown  id of the case that is open
 */

const NO_NAMES = /** @type {any} */ ({ symptoms: [], checks: {}, causes: {} });
const TOGETHER_MS = 150;

/** @type {string|null} */
let shown = null;
/** @type {EventSource|null} */
let stream = null;
let onlyByPhone = true;
/** @type {HTMLElement|null} */
let call = null;
/** @type {Words|null} */
let names = null;
/** @type {{of: string, entry: HTMLElement}|null} */
let notes = null;
/** @type {Map<string, string>} */
const seen = new Map();
/** @type {ReturnType<typeof setTimeout>|undefined} */
let soon;

/** @type {Desk} */
const desk = {
  shown: () => shown,
  async open(id) {
    shown = id;
    history.replaceState(null, "", `#${id}`);
    follow(id);
    await draw();
  },
  async add(events) {
    await trying(async () => {
      await post(`v1/cases/${shown}/events`, { events }, { "Idempotency-Key": newKey(), "If-Match": "*" });
      await draw();
    });
  },
  async call(body) {
    await trying(async () => {
      const { content } = await post("v1/cases", body, { "Idempotency-Key": newKey() });
      await desk.open(content.case.id);
    });
  },
};

/** Draw everything anew from what the service has. */
async function draw() {
  await trying(async () => {
    const [open, sites] = await Promise.all([get("v1/cases?status=open&limit=50"), get("v1/sites")]);
    call ??= newCall(desk, sites.sites);
    if (isNews("cases", [open, shown])) part("[data-cases]").replaceChildren(call, caseList(desk, open.cases));
    if (shown !== null) await drawCase(shown);
    else part("[data-talk]").replaceChildren(make("p", { class: "soft" }, open.cases.length ? "Choose a case, or begin one for a caller." : "No case is open. Begin one for a caller."));
  });
}

/** @param {string} id */
async function drawCase(id) {
  names ??= await get("v1/pack/words");
  const [found, events, diagnosis] = await Promise.all([get(`v1/cases/${id}`), get(`v1/cases/${id}/events?limit=500`), diagnosisOf(id)]);
  if (id !== shown || !isNews("case", [id, events, diagnosis, onlyByPhone])) return;
  if (notes?.of !== id) notes = { of: id, entry: noteEntry(desk) };
  const choose = (/** @type {boolean} */ only) => {
    onlyByPhone = only;
    void draw();
  };
  part("[data-talk]").replaceChildren(...talk(found, events.events, names ?? NO_NAMES), notes.entry);
  part("[data-now]").replaceChildren(...now(desk, found, diagnosis, onlyByPhone, choose));
}

/** @param {string} what @param {unknown} content @returns {boolean} whether it is not what is shown already, with what was unfolded and typed there */
function isNews(what, content) {
  const text = JSON.stringify(content);
  if (seen.get(what) === text) return false;
  seen.set(what, text);
  return true;
}

/** @param {string} id @returns {Promise<Diagnosis|null>} nothing where no symptom is known yet */
async function diagnosisOf(id) {
  try {
    return await get(`v1/cases/${id}/diagnosis`);
  } catch (error) {
    if (error instanceof Trouble && error.status === 422) return null;
    throw error;
  }
}

/** @param {string} id  goes on with the case as others write in it */
function follow(id) {
  stream?.close();
  stream = new EventSource(`../v1/cases/${id}/stream`);
  stream.onopen = () => part("[data-signal]").replaceChildren("Live");
  stream.onerror = () => part("[data-signal]").replaceChildren("Not live; trying again");
  const fresh = () => {
    clearTimeout(soon);
    soon = setTimeout(() => void draw(), TOGETHER_MS); // events come one by one but belong together
  };
  stream.addEventListener("change", fresh);
  stream.addEventListener("resumes", () => part("[data-signal]").replaceChildren("Live. Automatic works again."));
}

/** @param {() => Promise<void>} work */
async function trying(work) {
  try {
    await work();
    document.querySelector("main > .error")?.remove();
  } catch (error) {
    if (!(error instanceof Trouble)) throw error;
    document.querySelector("main > .error")?.remove();
    part("main").append(troublePanel(error), button("Try again", () => void draw()));
  }
}

/** @param {string} selector @returns {HTMLElement} */
function part(selector) {
  const found = document.querySelector(selector);
  if (!(found instanceof HTMLElement)) throw new Error(`The page lacks ${selector}`);
  return found;
}

const asked = location.hash.slice(1);
if (/^[0-9a-z]{26}$/.test(asked)) await desk.open(asked);
else await draw();
setInterval(() => void draw(), 30_000);
