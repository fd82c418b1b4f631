/** What the trainer's page says, by language. */

import { speaker } from "./words.js";

/** @type {Record<string, Record<string, string>>} */
export const CLASS = {
  en: {
    title: "Make a quiz for a class", site: "Site", questions: "Questions", level: "Level", easy: "1, easy", hard: "3, hard", topic: "Topic", all: "All", language: "Language",
    seed: "Seed: the same one gives the same quiz", feedback: "Tell the answers", final: "at the end", instant: "after each question", make: "Make it and open a class",
    class: "Class {code}", closed: "This class is closed. What was answered is kept.", join: "Learners open {where} or scan this picture. Nobody gives a name.", picture: "QR code of {where}",
    file: "The quiz as a file", statements: "answers as xAPI", alone: "Cards for somebody who learns alone", cards: "The questions become cards that come back when they are due. The code is all the learner needs.",
    give: "Make cards for one learner", given: "{due} cards:", learner: "1 learner", learners: "{count} learners", of: "{one} of {all}", right: "{right} right", done: "done",
    weakest: "Weakest so far: {topics}.", practise: "Practise what was got wrong", close: "Close the class", another: "Another quiz",
    figures: "How the questions did", few: "{learners} have finished. The figures come from {needed} learners on.", whole: "{learners} learners, mean {mean} right, reliability (alpha) {alpha}, error ±{error}.",
    easyness: "right {share}, tells apart {rest}", unmarked: "Nothing to look at.",
  },
  de: {
    title: "Ein Quiz für einen Kurs machen", site: "Anlage", questions: "Fragen", level: "Stufe", easy: "1, leicht", hard: "3, schwer", topic: "Thema", all: "Alle", language: "Sprache",
    seed: "Startzahl: dieselbe gibt dasselbe Quiz", feedback: "Die Antworten sagen", final: "am Ende", instant: "nach jeder Frage", make: "Machen und einen Kurs öffnen",
    class: "Kurs {code}", closed: "Dieser Kurs ist geschlossen. Was geantwortet wurde, bleibt.", join: "Lernende öffnen {where} oder scannen dieses Bild. Niemand gibt einen Namen an.", picture: "QR-Code von {where}",
    file: "Das Quiz als Datei", statements: "Antworten als xAPI", alone: "Karten für jemanden, der allein lernt", cards: "Aus den Fragen werden Karten, die wiederkommen, wenn sie fällig sind. Der Code ist alles, was man braucht.",
    give: "Karten für eine Person machen", given: "{due} Karten:", learner: "1 Person", learners: "{count} Personen", of: "{one} von {all}", right: "{right} richtig", done: "fertig",
    weakest: "Bisher am schwächsten: {topics}.", practise: "Üben, was falsch war", close: "Den Kurs schließen", another: "Ein weiteres Quiz",
    figures: "Wie die Fragen abschnitten", few: "{learners} sind fertig. Die Zahlen kommen ab {needed} Personen.", whole: "{learners} Personen, im Mittel {mean} richtig, Zuverlässigkeit (Alpha) {alpha}, Fehler ±{error}.",
    easyness: "richtig {share}, trennt {rest}", unmarked: "Nichts Auffälliges.",
  },
  da: {
    title: "Lav en quiz til et hold", site: "Anlæg", questions: "Spørgsmål", level: "Niveau", easy: "1, let", hard: "3, svær", topic: "Emne", all: "Alle", language: "Sprog",
    seed: "Startal: det samme giver den samme quiz", feedback: "Fortæl svarene", final: "til sidst", instant: "efter hvert spørgsmål", make: "Lav den og åbn et hold",
    class: "Hold {code}", closed: "Dette hold er lukket. Det, der blev svaret, er gemt.", join: "De lærende åbner {where} eller skanner billedet. Ingen opgiver navn.", picture: "QR-kode til {where}",
    file: "Quizzen som fil", statements: "svar som xAPI", alone: "Kort til én, der lærer alene", cards: "Spørgsmålene bliver til kort, der kommer igen, når det er tid. Koden er alt, man behøver.",
    give: "Lav kort til én person", given: "{due} kort:", learner: "1 person", learners: "{count} personer", of: "{one} af {all}", right: "{right} rigtige", done: "færdig",
    weakest: "Svagest indtil nu: {topics}.", practise: "Øv det, der gik galt", close: "Luk holdet", another: "En quiz til",
    figures: "Sådan gik det spørgsmålene", few: "{learners} er færdige. Tallene kommer fra {needed} personer.", whole: "{learners} personer, i gennemsnit {mean} rigtige, pålidelighed (alfa) {alpha}, fejl ±{error}.",
    easyness: "rigtige {share}, adskiller {rest}", unmarked: "Intet at se på.",
  },
};

/** @param {string} language */
export const classWords = (language) => speaker(CLASS, language);
