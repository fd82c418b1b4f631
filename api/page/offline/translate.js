/** Put the words of an answer into another language; what is not translated stays English. */

import { labelled } from "./words.js";

/** @import {Caution, Check, Diagnosis} from "../types.js" */
/** @import {Translation, Words} from "./types.js" */

/** @param {Words} words @param {Diagnosis} answer @param {string} language @returns {Diagnosis} */
export function translated(words, answer, language) {
  const said = words.languages[language];
  if (!said) return answer;
  const causeName = (/** @type {string} */ id, /** @type {string} */ name) => said.causes[id] ?? (id === "something-else" ? said.something_else : name);
  return {
    ...answer,
    language,
    symptoms: answer.symptoms.map((it) => ({ ...it, name: said.symptoms[it.id] ?? it.name })),
    causes: answer.causes.map((it) => ({ ...it, name: causeName(it.id, it.name) })),
    next: answer.next.map((it) => checkIn(words, said, it)),
    repair: answer.repair && { ...answer.repair, name: causeName(answer.repair.cause, answer.repair.name), cautions: answer.repair.cautions.map((it) => cautionIn(said, it)) },
  };
}

/** @param {Words} words @param {Translation} said @param {Check} it @returns {Check} */
function checkIn(words, said, it) {
  const [question, labels] = said.checks[it.check] ?? [it.question, {}];
  const outcomes = it.outcomes.map((choice) => (labels[choice.id] ? { ...choice, label: labelled(labels[choice.id], it.expect) } : choice));
  return { ...it, question, outcomes, cautions: it.cautions.map((caution) => cautionIn(said, caution)) };
}

/** @param {Translation} said @param {Caution} it @returns {Caution} */
function cautionIn(said, it) {
  const found = said.cautions[it.id];
  return found ? { ...it, name: found[0], text: found[1], defer: found[2] } : it;
}
