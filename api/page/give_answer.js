/** Send an answer, and go on once the service took it; until then nothing on the screen changes. */

import { addressOf } from "./address.js";
import { stepped } from "./case.js";
import { t } from "./language.js";
import { recordStep } from "./recording.js";
import { likelihood, percent } from "./say.js";

/** @import {Context} from "./context.js" */
/** @import {Diagnosis, Step} from "./types.js" */

/** @param {Context} context @param {number} count @param {Step} step @returns {Promise<void>} */
export async function giveAnswer(context, count, step) {
  const before = context.subject();
  const next = stepped(before, count, step);
  const answer = await context.diagnose(next);
  context.change({ ...next, record: await recordStep(before, count, step) });
  const lead = answer.causes[0];
  context.tell(t("Now {likely}, {percent}: {name}, {where}.", { likely: likelihood(lead.probability), percent: percent(lead.probability), name: lead.name, where: lead.where }));
  context.go(addressOf(screenAfter(answer), count + 1));
}

/** @param {Diagnosis} answer */
function screenAfter(answer) {
  if (answer.repair) return "repair";
  return answer.next.length ? "check" : "causes";
}
