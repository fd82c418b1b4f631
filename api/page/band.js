/** The quiet sign under the top bar: no signal, and what waits to be sent. */

import { ago } from "./clock.js";
import { button, make } from "./elements.js";
import { t } from "./language.js";
import { sitePack } from "./offline/keeper.js";
import { needsSignIn, onOutbox, seeConflict, sentOf, waiting } from "./offline/outbox.js";
import { onSignal, signalLost } from "./offline/signal.js";
import { takeOver } from "./take_over.js";
import { signIn } from "./trouble.js";

/** @import {Case} from "./types.js" */

/** @param {HTMLElement} place @param {() => Case} subject @param {(next: Case) => void} change  shows the sign there from now on */
export function showBand(place, subject, change) {
  const draw = () => void fill(place, subject(), change);
  onSignal(draw);
  onOutbox(draw);
  draw();
  return draw;
}

/** @param {HTMLElement} place @param {Case} subject @param {(next: Case) => void} change */
async function fill(place, subject, change) {
  const [signal, queue, others, way] = await Promise.all([signalWords(subject), queueWords(), changedByOthers(subject, change), signInFirst()]);
  const says = [signal, queue].filter(Boolean).join(" ");
  const sign = says ? make("a", { href: "#/kept", class: "sign" }, says) : null;
  place.replaceChildren(...[sign, way, others].filter((it) => it !== null));
}

/** @param {Case} subject */
async function signalWords(subject) {
  if (!signalLost()) return "";
  const pack = subject.siteName === null ? undefined : await sitePack(subject.site);
  return pack ? t("No signal. Working from this phone, kept {ago}.", { ago: ago(Date.now() - pack.at) }) : t("No signal.");
}

/** @returns {Promise<HTMLElement|null>} the way to sign in where that is all that what waits waits for */
async function signInFirst() {
  if (!needsSignIn() || (await waiting()).length === 0) return null;
  const [, way] = signIn({ status: 401 });
  return make("div", { class: "stack others" }, way);
}

async function queueWords() {
  const all = await waiting();
  const refused = all.filter(([, it]) => it.refused !== null).length;
  if (refused) return t("{count} refused by the service.", { count: refused });
  return all.length ? t("{count} not sent yet.", { count: all.length }) : "";
}

/** @param {Case} subject @param {(next: Case) => void} change */
async function changedByOthers(subject, change) {
  const sent = subject.record && (await sentOf(subject.record.id));
  if (!sent?.conflict) return null;
  const seen = button(t("Seen"), () => void seeConflict(/** @type {{id: string}} */ (subject.record).id));
  const over = button(t("Take over"), () => void takeOver(subject, sent, change));
  const says = make("p", {}, make("strong", {}, t("Somebody else wrote in this case: ")), t("{what}. What you entered was added after it.", { what: sent.conflict }));
  return make("div", { class: "stack others" }, says, make("div", { class: "pair" }, seen, over));
}
