/** The helpdesk's view on a wide screen: cases, one case as it goes on, and the next question to read out. */

import { button, make } from "../elements.js";
import { languageNow, preferred, speak, t } from "../language.js";
import { newKey } from "../offline/keys.js";
import { translated } from "../offline/translate.js";
import { Trouble, get, post } from "../server.js";
import { troublePanel } from "../trouble.js";
import { leading, now } from "./now.js";
import { caseList, newCall } from "./cases.js";
import { namesOf } from "./names.js";
import { noteEntry, talk } from "./talk.js";

/** @import {Diagnosis, Plan} from "../types.js" */
/** @import {Words} from "../offline/types.js" */
/** @import {Names} from "./names.js" */

/**
 * @typedef {{id: string, title: string, site: string|null, status: string, leading_cause: string|null, updated_at: string, version: number, remote_mode?: boolean}} CaseRow
 * @typedef {{seq: number, kind: string, at: string, by: string, data: any}} CaseEvent
 * @typedef {object} Desk
 * @property {(id: string) => Promise<void>} open  shows a case and follows it
 * @property {(events: object[]) => Promise<void>} add  adds events to the case that is open
 * @property {(body: object) => Promise<void>} call  opens a new case
 * @property {() => string|null} shown  id of the case that is open
 */

const TOGETHER_MS = 150;

/** @type {string|null} */
let shown = null;
/** @type {EventSource|null} */
let stream = null;
/** @type {HTMLElement|null} */
let call = null;
/** @type {Words|null} */
let words = null;
/** @type {Names|null} */
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
      const { content } = await post("v1/cases", { ...body, language: languageNow() }, { "Idempotency-Key": newKey() });
      const { id } = content.case;
      await post(`v1/cases/${id}/events`, { events: [{ kind: "remote-mode", on: true }] }, { "Idempotency-Key": newKey(), "If-Match": "*" });
      await desk.open(id);
    });
  },
};

/** Draw everything anew from what the service has. */
async function draw() {
  await trying(async () => {
    const [open, sites, texts] = await Promise.all([get("v1/cases?status=open&limit=50"), get("v1/sites"), words ?? get("v1/pack/words")]);
    words = texts;
    const known = names ?? namesOf(texts, sites.sites, languageNow());
    names = known;
    call ??= newCall(desk, sites.sites);
    if (isNews("cases", [open, shown])) part("[data-cases]").replaceChildren(call, caseList(desk, open.cases, known));
    if (shown !== null) await drawCase(shown, known);
    else part("[data-talk]").replaceChildren(make("p", { class: "soft" }, open.cases.length ? t("Choose a case, or begin one for a caller.") : t("No case is open. Begin one for a caller.")));
  });
}

/** @param {string} id @param {Names} known */
async function drawCase(id, known) {
  const [found, events, answer] = await Promise.all([get(`v1/cases/${id}`), get(`v1/cases/${id}/events?limit=500`), diagnosisOf(id)]);
  const diagnosis = answer && words && found.language === "en" ? translated(words, answer, languageNow()) : answer; // a case speaks the language it was opened in
  if (id !== shown || !isNews("case", [id, events, diagnosis])) return;
  if (notes?.of !== id) notes = { of: id, entry: noteEntry(desk) };
  const { entry } = notes;
  const place = make("div", { class: "stack" }, ...leading(diagnosis, null, known));
  part("[data-talk]").replaceChildren(...talk(found, events.events, known), place, entry);
  part("[data-now]").replaceChildren(...now(desk, found, diagnosis));
  const plan = diagnosis === null || found.status === "closed" ? null : await planOf(id); // takes longer, and the question must not wait for it
  if (plan && id === shown && seen.get("case") === JSON.stringify([id, events, diagnosis])) place.replaceChildren(...leading(diagnosis, plan, known));
}

/** @param {string} id @returns {Promise<Plan|null>} nothing where there is none to be had */
async function planOf(id) {
  try {
    return (await get(`v1/cases/${id}/plan`)).plan;
  } catch (error) {
    if (error instanceof Trouble) return null;
    throw error;
  }
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
  stream.onopen = () => part("[data-signal]").replaceChildren(t("Live"));
  stream.onerror = () => part("[data-signal]").replaceChildren(t("Not live; trying again"));
  const fresh = () => {
    clearTimeout(soon);
    soon = setTimeout(() => void draw(), TOGETHER_MS); // events come one by one but belong together
  };
  stream.addEventListener("change", fresh);
  stream.addEventListener("resumes", () => part("[data-signal]").replaceChildren(t("Live. Automatic works again.")));
}

/** @param {() => Promise<void>} work */
async function trying(work) {
  try {
    await work();
    document.querySelector("main > .error")?.remove();
  } catch (error) {
    if (!(error instanceof Trouble)) throw error;
    document.querySelector("main > .error")?.remove();
    part("main").append(troublePanel(error), button(t("Try again"), () => void draw()));
  }
}

/** @param {string} selector @returns {HTMLElement} */
function part(selector) {
  const found = document.querySelector(selector);
  if (!(found instanceof HTMLElement)) throw new Error(`The page lacks ${selector}`);
  return found;
}

/** The parts that nothing else draws. */
function nameFixedParts() {
  part(".place").replaceChildren(t("Ventsleuth, desk"));
  part("[data-phone]").replaceChildren(t("Phone page"));
  part("[data-skip]").replaceChildren(t("Go to the case"));
  part("main h1").replaceChildren(t("Cases at the desk"));
  part("[data-cases]").setAttribute("aria-label", t("Cases"));
  part("[data-talk]").setAttribute("aria-label", t("What was said and found"));
  part("[data-now]").setAttribute("aria-label", t("Causes and the next question"));
}

const language = preferred();
await speak(language, language === "en" ? {} : (await import(`./languages/${language}.js`)).default);
nameFixedParts();
const asked = location.hash.slice(1);
if (/^[0-9a-z]{26}$/.test(asked)) await desk.open(asked);
else await draw();
setInterval(() => void draw(), 30_000);
