/**
 * The shapes of what the service packs for the time without a signal.
 *
 * @typedef {[cause: string, part: number, weight: number, reasons: number[]]} Hypothesis
 * @typedef {object} Chapter
 * @property {Hypothesis[]} hypotheses  in the service's own order
 * @property {number[]} options  numbers of the checks open here
 * @property {number[][]} rows  for each option its usual row, then each hypothesis with another row and that row
 * @property {number[]} known  options the case's own commands answer
 * @property {[rule: string, says: string][]} advice
 * @property {Record<string, number[]>} excluded  reasons by cause ruled out
 * @property {number[]} hold_offs  minutes, one for each length among the zones in reach
 *
 * @typedef {[id: string, kind: string, where: string, servesNoSmoke: boolean]} PackPart
 * @typedef {[check: string, part: number, place: string|null, expect: string, limits: Record<string, number>]} CheckAt
 * @typedef {[source: string, effect: string, says: string, facts: string[]]} PackReason
 * @typedef {{symptom: string, part: string|null, chapter: number, by_hand: [fromMinutes: number, chapter: number][]}} PackCase
 * @typedef {object} Pack
 * @property {number} format
 * @property {string} knowledge_version
 * @property {string|null} at  the site's clock when it was worked out
 * @property {Record<string, string>} kinds
 * @property {{ids: string[], names: Record<string, string>, walk_minutes: number[][]}} places
 * @property {PackPart[]} parts
 * @property {CheckAt[]} checks_at
 * @property {PackReason[]} reasons
 * @property {number[][]} rows
 * @property {Chapter[]} chapters
 * @property {PackCase[]} [cases]
 * @property {string|null} [resumes_at]  of the pack of one case
 *
 * @typedef {{outcome: string, below: number|string|null, below_else: number|null}} Band
 * @typedef {{unit: string, lowest: number, highest: number, bands: Band[]}} Reading
 * @typedef {object} CheckWords
 * @property {string} name
 * @property {string} question
 * @property {string} how
 * @property {number} minutes
 * @property {string[]} tools
 * @property {string} competence
 * @property {string[]} hazards
 * @property {[id: string, label: string, means: string][]} outcomes
 * @property {Reading|null} reading
 * @property {boolean} timely
 * @property {boolean} lay  whether a lay person may make it, guided by telephone
 *
 * @typedef {{name: string, remedy: string[], proof: string[], minutes: number, competence: string, cautions: string[],
 *   because: Record<string, string>, confirming?: Record<string, string[]>}} CauseWords
 * @typedef {{name: string, factor: number, offset: number}} Unit
 * @typedef {{name: string, words: string, unit: string, low: number, high: number, units: Unit[], takes_letters: boolean}} Quantity
 * @typedef {{something_else: string, symptoms: Record<string, string>, causes: Record<string, string>,
 *   checks: Record<string, [question: string, outcomes: Record<string, string>]>,
 *   cautions: Record<string, [name: string, text: string, defer: string]>}} Translation
 * @typedef {object} Words
 * @property {string} knowledge_version
 * @property {Record<string, any>} numbers
 * @property {{id: string, name: string, means: string, family: string, about: string[], shown_by: string[], phrases?: string[]}[]} symptoms
 * @property {Record<string, CauseWords>} causes
 * @property {Record<string, CheckWords>} checks
 * @property {Record<string, [name: string, text: string, defer: string]>} cautions
 * @property {Record<string, string>} told
 * @property {Quantity[]} quantities
 * @property {Record<string, [quantity: string, factor: number]>} units
 * @property {Record<string, Translation>} languages
 * @property {Record<string, string>} [ideas]  foreign words with the English idea each stands for
 *
 * @typedef {{check: string, part: string|null, outcome: string, certainty?: "sure"|"think-so"|number}} Finding
 * @typedef {{competences?: string[], alone?: boolean, without?: string[], dark?: boolean}} Crew
 * @typedef {{site: string|null, at: string|null, events: {at: string, command: string, part: string|null}[],
 *   symptoms: {id: string, part: string|null}[], told: string[], findings: Finding[],
 *   repaired: {cause: string, part: string|null}[], why_not?: string[], language?: string,
 *   remote?: boolean, crew?: Crew|null}} Question
 *
 * @typedef {object} Opened  a case that is open on this phone
 * @property {Words} words
 * @property {Pack} pack
 * @property {Chapter} chapter
 * @property {string|null} since  time of the last manual command where words leave room for it
 * @property {string|null} resumes
 *
 * @typedef {{finding: Finding, part: string, chances: number[], expected: number}} Weighed
 * @typedef {{probabilities: number[], weighed: Weighed[], answered: [check: string, part: string][]}} Weight
 */
export {};
