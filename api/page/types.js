/**
 * The shapes that travel through the page; those that come from the service carry the service's own field names.
 *
 * @typedef {{id: string, name: string, demo: boolean, kept_at?: number|null}} SiteSummary
 * @typedef {{id: string, kind: string, name: string}} Part
 * @typedef {{id: string, name: string, demo: boolean, parts: Part[]}} Site
 * @typedef {{id: string, part: string|null, score: number, name: string, about: string[]}} Symptom
 * @typedef {{id: string, name: string, means: string, family: string, about: string[]}} SymptomEntry
 * @typedef {{source: string, effect: string, says: string, facts: string[]}} Reason
 * @typedef {{id: string, part: string|null, part_kind: string, name: string, where: string,
 *   probability: number, why: Reason[]}} Cause
 * @typedef {{id: string, name: string, text: string, defer: string}} Caution
 * @typedef {{id: string, label: string, means: string}} Outcome
 * @typedef {{check: string, part: string|null, part_kind: string, name: string, where: string, place: string, question: string,
 *   how: string, minutes: number, walk_minutes: number, tools: string[], competence: string, expect: string,
 *   unit: string|null, cautions: Caution[], outcomes: Outcome[], why_now: string, bits: number}} Check
 * @typedef {{cause: string, part: string|null, name: string, where: string, steps: string[], proof: string[],
 *   minutes: number, competence: string, cautions: Caution[]}} Repair
 * @typedef {{at: string, command: string, part: string|null}} Command
 * @typedef {{cause: string, name: string, probability: number, why: Reason[]}} WhyNot
 * @typedef {{role: string, words: string, meaning: string, alternatives?: {meaning: string, text: string}[]}} Chip
 * @typedef {{chips: Chip[], corrections: {typed: string, taken_for: string}[],
 *   asks: {words: string, parts: string[]}[], note: string|null,
 *   events?: Command[], told?: {id: string, name: string}[]}} Understood
 * @typedef {{symptoms: Symptom[], causes: Cause[], next: Check[], repair: Repair|null,
 *   advice: {rule: string, says: string}[], resumes_at: string|null, why_not: WhyNot[], told: string[],
 *   understood: Understood|null, unrecognised: string|null, say_instead: string|null, at: string|null,
 *   language?: string, worked_out_from?: {at: string, exact: boolean}, knowledge_version: string}} Diagnosis
 *
 * @typedef {{id: string, name: string, about: string[], part: string|null, kept: boolean}} Noticed
 * @typedef {{id: string, name: string, kept: boolean}} Told
 * @typedef {"sure"|"think-so"} Certainty
 * @typedef {{kind: "answer", name: string, check: string, part: string|null, outcome: string, certainty?: Certainty, asked: string, said: string}} Answer
 * @typedef {{kind: "repair", name: string, cause: string, part: string|null, asked: string, said: string}} Tried
 * @typedef {Answer|Tried} Step
 *
 * @typedef {{competences: string[], alone: boolean, without: string[], dark: boolean}} Crew  as the service takes it
 * @typedef {{kind: "check"|"repair"|"call", id: string|null, part: string|null, name: string, where: string, minutes: number}} Choice
 * @typedef {Choice & {says: string, check: Check|null, repair: Repair|null}} BestStep
 * @typedef {{step: BestStep, otherwise: Choice[], doubtful: {check: string, part: string|null, name: string, where: string, label: string, says: string}[],
 *   pairs: {causes: {id: string, name: string, where: string}[], probability: number, says: string}[]}} Plan
 *
 * @typedef {object} Case
 * @property {number} shape  number of this shape; another number is not read back
 * @property {string|null} site  id of the stored site, null for no description
 * @property {string|null} siteName  null until a site, or none, was chosen
 * @property {string|null} at  the time asked about, on the site's clock
 * @property {boolean} atChosen  whether somebody chose that time; if not it is when the case began
 * @property {number|null} heardAt  what this phone's clock said at `at`, in milliseconds
 * @property {string} text  what was typed
 * @property {string|null} unrecognised  words of it that carried no meaning
 * @property {string|null} sayInstead  what can be typed instead
 * @property {Understood|null} reading  how the words were read
 * @property {string[]} left  words of the text that were read wrong and are left out
 * @property {string[]} acknowledged  cautions somebody said they read
 * @property {Noticed[]} noticed  symptoms
 * @property {Told[]} told  circumstances
 * @property {Command[]} commands  commands somebody gave
 * @property {string[]} notes
 * @property {Crew|null} [crew]  who is there; nothing for a full crew in daylight
 * @property {boolean} [remote]  whether only a lay person is there, guided by telephone
 * @property {Step[]} steps  answers and repairs tried, oldest first
 * @property {{name: string, where: string, proof: string[]}|null} proved  the repair that was proved
 * @property {{id: string, told: string, first: string|null}|null} record  its name on this phone, what the service was told, its first step
 *
 * @typedef {{step: string, count: number, check: string|null}} Address
 */
export {};
