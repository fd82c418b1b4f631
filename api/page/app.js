/** Wires the page: reads the address, shows its screen, keeps the case. */

import { addressOf, reachable, readAddress } from "./address.js";
import { atSite, newCase, pinned } from "./case.js";
import { button, make } from "./elements.js";
import { site as siteOf } from "./known.js";
import { languageNow, preferred, speak, t } from "./language.js";
import { recall, remember, takeUpPlace } from "./memory.js";
import { showing } from "./progress.js";
import { fetched, screenOf } from "./screens.js";
import * as server from "./server.js";
import { thumbBar } from "./thumb_bar.js";
import { troublePanel } from "./trouble.js";

/** @import {Case, Diagnosis} from "./types.js" */
/** @import {Context} from "./context.js" */

const TRY_AGAIN_MS = 5_000;

const main = part("main");
const news = part("[data-news]");
const working = part("[data-working]");
const place = part("[data-place]");

let subject = recall();
let shown = 0; // counts what was asked to be shown, so that a slow answer never covers a later screen
let busy = false;
let goingOn = 0;

/** @type {Context} */
const context = {
  subject: () => subject,
  address: () => reachable(readAddress(location.hash), subject),
  change(next) {
    const isElsewhere = next.siteName !== null && (next.site !== subject.site || subject.siteName === null);
    subject = next;
    remember(next);
    if (isElsewhere) void rest.then((it) => it.keep());
  },
  go(hash) {
    if (location.hash !== hash) history.pushState(null, "", hash);
    void show();
  },
  replace(hash) {
    history.replaceState(null, "", hash);
    void show();
  },
  async diagnose(of, count) {
    const { requestOf } = await fetched(() => import("./request.js"));
    const answer = await context.ask(requestOf(of, count));
    if (of === subject) context.change(pinned(of, answer, Date.now()));
    return answer;
  },
  ask: (body) => showing(working, askAnybody(languageNow() === "en" ? body : { ...body, language: languageNow() })),
  fetch: (work) => showing(working, work),
  async once(work) {
    if (busy) return;
    busy = true;
    waitFor(1);
    try {
      await work();
    } finally {
      busy = false;
      waitFor(-1);
    }
  },
  tell: (text) => news.replaceChildren(text),
  async speak(language) {
    await speak(language);
    nameFixedParts();
    await show();
    (await rest).drawBand();
  },
};

/** Show the screen of the address. */
async function show() {
  const turn = ++shown;
  const address = context.address();
  waitFor(1);
  try {
    const screen = await context.fetch(screenOf(address.step));
    const view = await screen(context, address);
    if (turn === shown) paint(view.title, view.body, view.actions ?? [], view.titleIs);
  } catch (error) {
    if (!(error instanceof server.Trouble)) throw error;
    if (turn === shown) paint(t("That did not work"), [troublePanel(error)], [button(t("Try again"), () => void show(), "main"), ...wayOut(error)]);
  } finally {
    waitFor(-1);
  }
}

/** @param {1|-1} change  of how much goes on before the screen is as it will be */
function waitFor(change) {
  goingOn += change;
  if (goingOn > 0) main.setAttribute("aria-busy", "true");
  else main.removeAttribute("aria-busy");
}

/** @param {string} title @param {Node[]} body @param {Node[]} actions @param {{lang?: string}} [titleIs] */
function paint(title, body, actions, titleIs = {}) {
  const heading = make("h1", { tabindex: -1, ...titleIs }, title);
  main.replaceChildren(heading, ...body, ...(actions.length ? [thumbBar(actions)] : []));
  document.title = `${title} – Ventsleuth`;
  place.replaceChildren(t(subject.siteName ?? "Ventsleuth"));
  part("[data-back]").hidden = context.address().step === "site";
  scrollTo(0, 0);
  heading.focus({ preventScroll: true });
}

/** @param {server.Trouble} error @returns {Node[]} a way on when the same request can only fail again */
function wayOut(error) {
  if (error.status === 401 || error.status < 400 || error.status >= 500) return [];
  return [button(t("Start a new case"), startAgain)];
}

function startAgain() {
  context.change(newCase());
  context.go(addressOf("site"));
}

/** A door label or a message may link straight to a site. @returns {Promise<string|null>} why it did not open, if it did not */
async function followSiteLink() {
  const wanted = new URLSearchParams(location.search).get("site");
  if (wanted === null) return null;
  try {
    const found = await siteOf(wanted);
    context.change(atSite(subject, found.id, found.name));
    history.replaceState(null, "", location.pathname + addressOf("symptom"));
  } catch (error) {
    if (!(error instanceof server.Trouble)) throw error;
    history.replaceState(null, "", location.pathname + addressOf("site"));
    return error.status === 404 ? t("This code belongs to a site that is not here. Choose another, or go on without a description.") : error.message;
  }
  return null;
}

/** @param {object} body @returns {Promise<Diagnosis>} */
async function askAnybody(body) {
  const { ask } = await fetched(() => import("./answers.js"));
  return ask(body);
}

/** The parts of the page that no screen paints. */
function nameFixedParts() {
  part("[data-back]").replaceChildren(t("Back"));
  part("[data-skip]").replaceChildren(t("Go to the content"));
}

/** @param {string} selector @returns {HTMLElement} */
function part(selector) {
  const found = document.querySelector(selector);
  if (!(found instanceof HTMLElement)) throw new Error(`The page lacks ${selector}`);
  return found;
}

history.scrollRestoration = "manual";
addEventListener("popstate", () => void show());
part("[data-back]").addEventListener("click", () => history.back());
part("[data-skip]").addEventListener("click", (event) => {
  event.preventDefault(); // the address holds the place in the flow and must not be changed by this link
  main.focus();
});
await speak(preferred()).catch(() => speak("en")); // without a signal the words may not be there
nameFixedParts();
const rest = startRest();
const left = takeUpPlace();
if (left && location.hash === "") history.replaceState(null, "", left);
const unopened = await followSiteLink();
await show();
if (unopened) main.querySelector("h1")?.after(make("p", { class: "notice", role: "alert" }, unopened));

/** What the first screen can do without comes after it. */
async function startRest() {
  await new Promise((resolve) => setTimeout(resolve));
  const { startAfterwards } = await afterwards();
  return startAfterwards({ subject: () => subject, change: context.change, part, repaint: (step) => context.address().step === step && void show() });
}

/** @returns {Promise<typeof import("./afterwards.js")>} tried again until the line carries it */
async function afterwards() {
  for (;;) {
    try {
      return await import("./afterwards.js");
    } catch (error) {
      if (!(error instanceof TypeError)) throw error; // what a browser throws when it cannot fetch a module
      await new Promise((resolve) => setTimeout(resolve, TRY_AGAIN_MS));
    }
  }
}
