/** Answer a question from what is held, or say why not. */

import { answerTo } from "./answer.js";
import { NotCovered } from "./covered.js";
import { ofCase, ofSite } from "./opened.js";
import { NotAReading } from "./reading.js";

/** @import {Diagnosis} from "../types.js" */
/** @import {Pack, Question, Words} from "./types.js" */

/**
 * @param {Words} words
 * @param {Pack} pack
 * @param {Question} question
 * @param {boolean} isOfCase  whether the pack is of this very case
 * @returns {{answer: Diagnosis, refusal?: undefined, isReading?: undefined}|{answer: null, refusal: string, isReading: boolean}}
 */
export function answerHeld(words, pack, question, isOfCase) {
  try {
    return { answer: answerTo(isOfCase ? ofCase(words, pack) : ofSite(words, pack, question), question) };
  } catch (error) {
    if (error instanceof NotCovered || error instanceof NotAReading) return { answer: null, refusal: error.message, isReading: error instanceof NotAReading };
    throw error;
  }
}
