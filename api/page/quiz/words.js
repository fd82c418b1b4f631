/** What the learner's page says around the questions, in the language of the quiz. */

/** @type {Record<string, Record<string, string>>} */
const WORDS = {
  en: {
    join: "Join a quiz", code: "The code your trainer shows", go: "Begin", unnamed: "Nobody is asked for a name.",
    question: "Question {n} of {all}", answer: "Answer", next: "Next question", back: "Question before", finish: "Finish",
    right: "Right", wrong: "Not right", rightIs: "Right: {said}", result: "{right} of {asked} right", more: "Read on in the reference",
    up: "Move up: {text}", down: "Move down: {text}", choose: "Choose", topics: "By topic", english: "Part of the text is in English only.",
    open: "{count} questions have no answer yet.", sure: "Finish all the same", choices: "The answers", keep: "Keep these as cards", cards: "My cards: what is due",
  },
  de: {
    join: "An einem Quiz teilnehmen", code: "Der Code, den Ihr Ausbilder zeigt", go: "Beginnen", unnamed: "Niemand wird nach einem Namen gefragt.",
    question: "Frage {n} von {all}", answer: "Antworten", next: "Nächste Frage", back: "Frage davor", finish: "Abschließen",
    right: "Richtig", wrong: "Nicht richtig", rightIs: "Richtig: {said}", result: "{right} von {asked} richtig", more: "Im Nachschlagewerk weiterlesen",
    up: "Nach oben: {text}", down: "Nach unten: {text}", choose: "Wählen", topics: "Nach Thema", english: "Ein Teil des Textes liegt nur auf Englisch vor.",
    open: "{count} Fragen haben noch keine Antwort.", sure: "Trotzdem abschließen", choices: "Die Antworten", keep: "Als Karten behalten", cards: "Meine Karten: was fällig ist",
  },
  da: {
    join: "Deltag i en quiz", code: "Koden, som din underviser viser", go: "Begynd", unnamed: "Ingen bliver spurgt om navn.",
    question: "Spørgsmål {n} af {all}", answer: "Svar", next: "Næste spørgsmål", back: "Spørgsmålet før", finish: "Afslut",
    right: "Rigtigt", wrong: "Ikke rigtigt", rightIs: "Rigtigt: {said}", result: "{right} af {asked} rigtige", more: "Læs videre i opslagsværket",
    up: "Flyt op: {text}", down: "Flyt ned: {text}", choose: "Vælg", topics: "Efter emne", english: "En del af teksten findes kun på engelsk.",
    open: "{count} spørgsmål har endnu intet svar.", sure: "Afslut alligevel", choices: "Svarene", keep: "Gem som kort", cards: "Mine kort: hvad der er til nu",
  },
};

/** What the topics of questions are called.
 * @type {Record<string, Record<string, string>>} */
const TOPIC_NAMES = {
  en: { supply: "supply", output: "outputs", wiring: "wiring", drive: "drives", opening: "windows and vents", input: "switches and sensors", settings: "settings", link: "building link", fan: "fans" },
  de: { supply: "Versorgung", output: "Ausgänge", wiring: "Leitungen", drive: "Antriebe", opening: "Fenster und Klappen", input: "Taster und Fühler", settings: "Einstellungen", link: "GLT-Anbindung", fan: "Ventilatoren" },
  da: { supply: "forsyning", output: "udgange", wiring: "ledninger", drive: "motorer", opening: "vinduer og lemme", input: "kontakter og følere", settings: "indstillinger", link: "CTS-forbindelse", fan: "ventilatorer" },
};

/** @param {string} topic @param {string} language @returns {string} */
export const topicName = (topic, language) => (TOPIC_NAMES[language] ?? TOPIC_NAMES.en)[topic] ?? topic;

/**
 * @param {Record<string, Record<string, string>>} table
 * @param {string} language
 * @returns {(name: string, values?: Record<string, any>) => string} says a phrase in the language, in English where it has no words
 */
export function speaker(table, language) {
  const words = table[language] ?? table.en;
  return (name, values = {}) => words[name].replace(/\{(\w+)\}/g, (_, key) => String(values[key] ?? ""));
}

/** @param {string} language */
export const wordsOf = (language) => speaker(WORDS, language);

/** @returns {string[]} the languages there are words in */
export const languages = () => Object.keys(WORDS);

/** @param {string} language @returns {string[]} the names of all words of a language */
export const wordNames = (language) => Object.keys(WORDS[language]).sort();
