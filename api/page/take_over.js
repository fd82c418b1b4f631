/** Take the answers that the case has at the service into the case of this phone. */

import { addressOf } from "./address.js";
import { keptWords } from "./offline/keeper.js";
import { seeConflict } from "./offline/outbox.js";
import { plain } from "./say.js";
import { Trouble, get } from "./server.js";

/** @import {Case, Step} from "./types.js" */
/** @import {Sent} from "./offline/outbox.js" */
/** @import {Words} from "./offline/types.js" */

/** @param {Case} subject @param {Sent} sent @param {(next: Case) => void} change @returns {Promise<void>} */
export async function takeOver(subject, sent, change) {
  try {
    const [found, words] = await Promise.all([get(`v1/cases/${sent.id}`), keptWords()]);
    const own = new Map(Object.entries(sent.seqs).map(([name, seq]) => [seq, name]));
    const steps = [...found.answers, ...found.repairs.filter((/** @type {any} */ it) => it.helped === false)]
      .sort((one, other) => one.seq - other.seq)
      .map((it) => stepOf(it, own.get(it.seq) ?? `seq ${it.seq}`, words));
    change({ ...subject, steps, proved: null });
    await seeConflict(/** @type {{id: string}} */ (subject.record).id);
    goTo(addressOf("causes", steps.length));
  } catch (error) {
    if (!(error instanceof Trouble)) throw error; // without a signal it stays as it is, and can be taken over later
  }
}

/** @param {string} hash */
function goTo(hash) {
  if (location.hash === hash) dispatchEvent(new PopStateEvent("popstate")); // the screen is shown anew with the answers
  else location.hash = hash;
}

/** @param {any} it @param {string} name @param {Words|undefined} words @returns {Step} */
function stepOf(it, name, words) {
  if (it.cause) return { kind: "repair", name, cause: it.cause, part: it.part ?? null, asked: words?.causes[it.cause]?.name ?? plain(it.cause), said: "Repaired; still there" };
  const check = words?.checks[it.check];
  const said = check?.outcomes.find(([id]) => id === it.outcome)?.[1].replace(/: \{expect\}/, "") ?? plain(it.outcome);
  const certainty = it.certainty === "think-so" ? { certainty: it.certainty } : {};
  return { kind: "answer", name, check: it.check, part: it.part ?? null, outcome: it.outcome, ...certainty, asked: check?.name ?? plain(it.check), said };
}
