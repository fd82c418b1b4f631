/** Ask about a case: this phone where it keeps that very case, else the service, else what it keeps of the site. */

import { t } from "./language.js";
import { keepCase, keptCase, keptWords, sitePack } from "./offline/keeper.js";
import { worthAsking } from "./offline/signal.js";
import { shifted } from "./clock.js";
import { Trouble, diagnose as ask } from "./server.js";

/** @import {Diagnosis} from "./types.js" */
/** @import {Kept} from "./offline/keeper.js" */
/** @import {Question} from "./offline/types.js" */

const PATIENCE_WITH_PACK_MS = 4_000;
const MINUTE_MS = 60_000;
const REFUSED = 422;
const WORDS_NEED_SIGNAL = "Typed words are understood only with a signal. Your words are kept. Choose from the list instead.";

/** @param {any} body @returns {Promise<Diagnosis>} throws Trouble */
export async function diagnose(body) {
  if (body.plan) return ask(body); // only the service plans
  const canAnswer = body.text === undefined && (await isHeld(body));
  const own = canAnswer ? await ownAnswer(body) : null;
  if (own) return own;
  if (canAnswer && !worthAsking()) return answerHere(body);
  try {
    const answer = await ask(body, canAnswer ? PATIENCE_WITH_PACK_MS : undefined);
    if (answer.at !== null && answer.symptoms.length > 0 && body.text === undefined) void keepCase({ ...body, at: answer.at });
    return answer;
  } catch (error) {
    if (!(error instanceof Trouble) || error.status !== 0) throw error;
    if (body.text !== undefined) throw new Trouble(t(WORDS_NEED_SIGNAL));
    if (!canAnswer) throw error;
    return answerHere(body);
  }
}

/** @param {Question} body @returns {Promise<Diagnosis|null>} at once and without the line, where this phone keeps the case whole: the same numbers */
async function ownAnswer(body) {
  if (body.at === null || (await keptCase(body)) === undefined) return null;
  try {
    return await answerHere(body);
  } catch (error) {
    if (error instanceof Trouble && error.status === 0) return null; // an answer about what the case did not hold: the service knows
    throw error;
  }
}

/** @param {Question} body */
async function isHeld(body) {
  if ((await keptWords()) === undefined) return false;
  return (await keptCase(body)) !== undefined || (await sitePack(body.site)) !== undefined;
}

/** @param {Question} body @returns {Promise<Diagnosis>} */
async function answerHere(body) {
  const words = await keptWords();
  const whole = await keptCase(body);
  const kept = whole ?? (await sitePack(body.site));
  if (!words || !kept) throw new Trouble(t("This phone holds nothing on that site. Try again when there is a signal."));
  const question = { ...body, at: body.at ?? siteClock(kept) };
  const { answerHeld } = await import("./offline/held.js");
  const found = answerHeld(words, kept.content, question, whole !== undefined);
  if (found.answer) return { ...found.answer, worked_out_from: { at: kept.content.at, exact: whole !== undefined } };
  throw new Trouble(t(found.refusal), found.isReading ? REFUSED : 0, found.isReading ? [{ field: "findings", detail: t(found.refusal) }] : []);
}

/** @param {Kept} kept @returns {string} the site's clock now, told from when the pack came; never before that */
function siteClock(kept) {
  return shifted(kept.content.at, Math.max(0, Math.floor((Date.now() - kept.at) / MINUTE_MS)));
}
