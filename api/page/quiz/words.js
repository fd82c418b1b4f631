/** What the learner's page says around the questions, in the language of the quiz. */

/** @type {Record<string, Record<string, string>>} */
const WORDS = {
  en: {
    join: "Join a quiz", code: "The code your trainer shows", go: "Begin", unnamed: "Nobody is asked for a name.",
    question: "Question {n} of {all}", answer: "Answer", next: "Next question", back: "Question before", finish: "Finish",
    right: "Right", wrong: "Not right", rightIs: "Right: {said}", result: "{right} of {asked} right", more: "Read on in the reference",
    up: "Move up: {text}", down: "Move down: {text}", choose: "Choose", topics: "By topic", english: "Part of the text is in English only.",
    open: "{count} questions have no answer yet.", sure: "Finish all the same", choices: "The answers",
  },
  de: {
    join: "An einem Quiz teilnehmen", code: "Der Code, den Ihr Ausbilder zeigt", go: "Beginnen", unnamed: "Niemand wird nach einem Namen gefragt.",
    question: "Frage {n} von {all}", answer: "Antworten", next: "Nächste Frage", back: "Frage davor", finish: "Abschließen",
    right: "Richtig", wrong: "Nicht richtig", rightIs: "Richtig: {said}", result: "{right} von {asked} richtig", more: "Im Nachschlagewerk weiterlesen",
    up: "Nach oben: {text}", down: "Nach unten: {text}", choose: "Wählen", topics: "Nach Thema", english: "Ein Teil des Textes liegt nur auf Englisch vor.",
    open: "{count} Fragen haben noch keine Antwort.", sure: "Trotzdem abschließen", choices: "Die Antworten",
  },
  da: {
    join: "Deltag i en quiz", code: "Koden, som din underviser viser", go: "Begynd", unnamed: "Ingen bliver spurgt om navn.",
    question: "Spørgsmål {n} af {all}", answer: "Svar", next: "Næste spørgsmål", back: "Spørgsmålet før", finish: "Afslut",
    right: "Rigtigt", wrong: "Ikke rigtigt", rightIs: "Rigtigt: {said}", result: "{right} af {asked} rigtige", more: "Læs videre i opslagsværket",
    up: "Flyt op: {text}", down: "Flyt ned: {text}", choose: "Vælg", topics: "Efter emne", english: "En del af teksten findes kun på engelsk.",
    open: "{count} spørgsmål har endnu intet svar.", sure: "Afslut alligevel", choices: "Svarene",
  },
};

/** @param {string} language @returns {(name: string, values?: Record<string, string|number>) => string} */
export function wordsOf(language) {
  const words = WORDS[language] ?? WORDS.en;
  return (name, values = {}) => words[name].replace(/\{(\w+)\}/g, (_, key) => String(values[key] ?? ""));
}

/** @returns {string[]} the languages there are words in */
export const languages = () => Object.keys(WORDS);

/** @param {string} language @returns {string[]} the names of all words of a language */
export const wordNames = (language) => Object.keys(WORDS[language]).sort();
