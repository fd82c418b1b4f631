/** Send an answer, and go on once the service took it; until then nothing on the screen changes. */

import { addressOf } from "./address.js";
import { stepped } from "./case.js";
import { likelihood, percent } from "./say.js";

/** @import {Context} from "./context.js" */
/** @import {Diagnosis, Step} from "./types.js" */

/** @param {Context} context @param {number} count @param {Step} step @returns {Promise<void>} */
export async function giveAnswer(context, count, step) {
  const next = stepped(context.subject(), count, step);
  const answer = await context.diagnose(next);
  context.change(next);
  const lead = answer.causes[0];
  context.tell(`Now ${likelihood(lead.probability)}, ${percent(lead.probability)}: ${lead.name}, ${lead.where}.`);
  context.go(addressOf(screenAfter(answer), count + 1));
}

/** @param {Diagnosis} answer */
function screenAfter(answer) {
  if (answer.repair) return "repair";
  return answer.next.length ? "check" : "causes";
}
