/** The names of symptoms, causes, checks and answers in the language of the page. */

import { t } from "../language.js";
import { plain } from "../say.js";

/** @import {Words} from "../offline/types.js" */

/**
 * @typedef {object} Names
 * @property {(id: string|null) => string} site
 * @property {(id: string) => string} symptom
 * @property {(id: string) => string} cause
 * @property {(id: string) => string} check
 * @property {(check: string, outcome: string) => string} outcome
 */

/** @param {Words} words @param {{id: string, name: string}[]} sites @param {string} language @returns {Names} what is not translated stays English */
export function namesOf(words, sites, language) {
  const said = words.languages[language];
  const symptoms = new Map(words.symptoms.map((it) => [it.id, it.name]));
  const siteNames = new Map(sites.map((it) => [it.id, it.name]));
  return {
    site: (id) => (id === null ? t("No description") : siteNames.get(id) ?? id),
    symptom: (id) => said?.symptoms[id] ?? symptoms.get(id) ?? plain(id),
    cause: (id) => said?.causes[id] ?? words.causes[id]?.name ?? plain(id),
    check: (id) => words.checks[id]?.name ?? plain(id),
    outcome(check, outcome) {
      const english = words.checks[check]?.outcomes.find(([id]) => id === outcome)?.[1];
      return (said?.checks[check]?.[1][outcome] ?? english)?.replace(/:? ?\{expect\}/, "") ?? plain(outcome);
    },
  };
}
