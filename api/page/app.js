/** Wires the page: reads the address, shows its screen, keeps the case. */

import { addressOf, reachable, readAddress } from "./address.js";
import { rememberingAnswers } from "./answers.js";
import { atSite, newCase, pinned } from "./case.js";
import { button, make } from "./elements.js";
import { recall, remember } from "./memory.js";
import { showing } from "./progress.js";
import { requestOf } from "./request.js";
import { causes } from "./screens/causes.js";
import { check } from "./screens/check.js";
import { confirm } from "./screens/confirm.js";
import { done } from "./screens/done.js";
import { list } from "./screens/list.js";
import { repair } from "./screens/repair.js";
import { site } from "./screens/site.js";
import { symptom } from "./screens/symptom.js";
import * as server from "./server.js";
import { thumbBar } from "./thumb_bar.js";
import { troublePanel } from "./trouble.js";

/** @import {Case, Diagnosis} from "./types.js" */
/** @import {Context, Screen} from "./context.js" */

const SCREENS = /** @type {Record<string, Screen>} */ ({ site, symptom, list, confirm, causes, check, repair, done });

const main = part("main");
const news = part("[data-news]");
const working = part("[data-working]");
const place = part("[data-place]");
const ask = rememberingAnswers();

let subject = recall();
let shown = 0; // counts what was asked to be shown, so that a slow answer never covers a later screen
let busy = false;

/** @type {Context} */
const context = {
  subject: () => subject,
  address: () => reachable(readAddress(location.hash), subject),
  change(next) {
    subject = next;
    remember(next);
  },
  go(hash) {
    if (location.hash === hash) void show();
    else location.hash = hash;
  },
  replace(hash) {
    history.replaceState(null, "", hash);
    void show();
  },
  async diagnose(of, count) {
    const answer = await context.ask(requestOf(of, count));
    if (of === subject) context.change(pinned(of, answer, Date.now()));
    return answer;
  },
  ask: (body) => showing(working, ask(body)),
  fetch: (work) => showing(working, work),
  async once(work) {
    if (busy) return;
    busy = true;
    main.setAttribute("aria-busy", "true");
    try {
      await work();
    } finally {
      busy = false;
      main.removeAttribute("aria-busy");
    }
  },
  tell: (text) => news.replaceChildren(text),
};

/** Show the screen of the address. */
async function show() {
  const turn = ++shown;
  const address = context.address();
  try {
    const view = await SCREENS[address.step](context, address);
    if (turn === shown) paint(view.title, view.body, view.actions ?? []);
  } catch (error) {
    if (!(error instanceof server.Trouble)) throw error;
    if (turn === shown) paint("That did not work", [troublePanel(error)], [button("Try again", () => void show(), "main"), ...wayOut(error)]);
  }
}

/** @param {string} title @param {Node[]} body @param {Node[]} actions */
function paint(title, body, actions) {
  const heading = make("h1", { tabindex: -1 }, title);
  main.replaceChildren(heading, ...body, ...(actions.length ? [thumbBar(actions)] : []));
  document.title = `${title} – Ventsleuth`;
  place.replaceChildren(subject.siteName ?? "Ventsleuth");
  part("[data-back]").hidden = context.address().step === "site";
  scrollTo(0, 0);
  heading.focus({ preventScroll: true });
}

/** @param {server.Trouble} error @returns {Node[]} a way on when the same request can only fail again */
function wayOut(error) {
  if (error.status < 400 || error.status >= 500) return [];
  return [button("Start a new case", startAgain)];
}

function startAgain() {
  context.change(newCase());
  context.go(addressOf("site"));
}

/** A door label or a message may link straight to a site. */
async function followSiteLink() {
  const wanted = new URLSearchParams(location.search).get("site");
  if (wanted === null) return;
  try {
    const found = await server.site(wanted);
    context.change(atSite(subject, found.id, found.name));
    history.replaceState(null, "", location.pathname + addressOf("symptom"));
  } catch (error) {
    if (!(error instanceof server.Trouble)) throw error;
    history.replaceState(null, "", location.pathname + addressOf("site"));
    context.tell(error.message);
  }
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
await followSiteLink();
await show();
