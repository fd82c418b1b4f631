/** What the page of cards says, by language. */

import { speaker } from "./words.js";

/** @type {Record<string, Record<string, string>>} */
export const CARDS = {
  en: {
    title: "Your cards", code: "Your code", open: "Show what is due", about: "A quiz gives you a code when you keep its answers. Nobody is asked for a name.", keepCode: "Your code: {code}. Write it down to go on with another phone.",
    due: "{left} due", show: "Show the answer", grade: "How well did you know it?", wrong: "Not known", unsure: "Hardly", right: "Known", easy: "At once", back: "back {when}",
    done: "Nothing more is due", next: "Next: {when}.", none: "There are no cards yet. Keep the answers of a quiz to get some.", all: "All cards", other: "Use another code", again: "Look again", inMinutes: "in {minutes} min",
    yours: "Your answer", explained: "Why",
  },
  de: {
    title: "Ihre Karten", code: "Ihr Code", open: "Zeigen, was fällig ist", about: "Einen Code bekommen Sie, wenn Sie die Antworten eines Quiz behalten. Niemand wird nach einem Namen gefragt.", keepCode: "Ihr Code: {code}. Schreiben Sie ihn auf, um mit einem anderen Telefon weiterzumachen.",
    due: "{left} fällig", show: "Die Antwort zeigen", grade: "Wie gut wussten Sie es?", wrong: "Nicht gewusst", unsure: "Kaum", right: "Gewusst", easy: "Sofort", back: "wieder {when}",
    done: "Nichts mehr fällig", next: "Das Nächste: {when}.", none: "Es gibt noch keine Karten. Behalten Sie die Antworten eines Quiz, dann gibt es welche.", all: "Alle Karten", other: "Einen anderen Code nehmen", again: "Noch einmal nachsehen", inMinutes: "in {minutes} min",
    yours: "Ihre Antwort", explained: "Warum",
  },
  da: {
    title: "Dine kort", code: "Din kode", open: "Vis hvad der er til i dag", about: "Du får en kode, når du gemmer svarene fra en quiz. Ingen bliver spurgt om navn.", keepCode: "Din kode: {code}. Skriv den ned for at fortsætte på en anden telefon.",
    due: "{left} til nu", show: "Vis svaret", grade: "Hvor godt vidste du det?", wrong: "Vidste det ikke", unsure: "Knap nok", right: "Vidste det", easy: "Med det samme", back: "igen {when}",
    done: "Ikke mere til nu", next: "Det næste: {when}.", none: "Der er ingen kort endnu. Gem svarene fra en quiz for at få nogle.", all: "Alle kort", other: "Brug en anden kode", again: "Se efter igen", inMinutes: "om {minutes} min",
    yours: "Dit svar", explained: "Hvorfor",
  },
};

/** @param {string} language */
export const cardsWords = (language) => speaker(CARDS, language);
