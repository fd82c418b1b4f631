/** What the practice page says, by language. */

import { speaker } from "./words.js";

/** @type {Record<string, Record<string, string>>} */
export const PRACTISE = {
  en: {
    title: "Practise a call-out", about: "A fault is hidden in a virtual copy of the site. Find it, safely and in few minutes.", site: "Site",
    faults: "Faults about", weak: "what the class got wrong", anything: "anything", seed: "Seed: the same one hides the same fault", language: "Language", begin: "Begin",
    caller: "The caller says", spent: "{minutes} min spent, {climbs} climbs.", stand: "You stand here: {place}.", check: "Make a check", repair: "Name the cause, mend or explain it",
    stop: "Give up and see the debrief", minutes: "{minutes} min", whichCheck: "Which check", whichCause: "Which cause", words: "Words of it, such as voltage drive",
    shown: "{count} of {all} shown", back: "Back", before: "Before you begin", first: "What do you do first? Each costs a minute and is for this step only.", doCheck: "Make the check", doRepair: "Mend it",
    solved: "Solved: {points} points", unsolved: "Not solved: {points} points", itWas: "It was: {cause}, {where}.", more: "Read on in the reference", english: "Part of the text is in English only.",
    forCause: "Cause at the first try", forTime: "Time", forSafety: "Safety", forParts: "No needless repair", of: "{points} of {most}", mine: "Your minutes", planners: "The planner's",
    notSolved: "{minutes} min, not solved", shortest: "The shortest way", climbs: "Climbs, yours and the planner's", unsafe: "Unsafe in step {step}: {name}", danger: "{caution}: {why}. {precaution}.",
    both: "Both ways", you: "You", planner: "The planner", another: "Another call-out",
    prove: "Prove that it works", doExplain: "Explain it", forEvidence: "A check that speaks for it", forProof: "Proof", unproved: "Mended, not proved: {points} points", missing: "What is missing, and why", notNeeded: "Without use",
    needless: "Step {step}, {name}. Not needed: {precautions}.", spoiled: "Step {step}, {name}. Nothing to be seen: it needs what you switched off.",
  },
  de: {
    title: "Einen Einsatz üben", about: "In einer virtuellen Kopie der Anlage steckt ein Fehler. Finden Sie ihn, sicher und in wenigen Minuten.", site: "Anlage",
    faults: "Fehler aus dem Bereich", weak: "was der Kurs falsch hatte", anything: "alles", seed: "Startzahl: dieselbe versteckt denselben Fehler", language: "Sprache", begin: "Beginnen",
    caller: "Der Anrufer sagt", spent: "{minutes} min verbraucht, {climbs} Aufstiege.", stand: "Sie stehen hier: {place}.", check: "Etwas prüfen", repair: "Die Ursache nennen, beheben oder erklären",
    stop: "Aufgeben und zur Nachbesprechung", minutes: "{minutes} min", whichCheck: "Welche Prüfung", whichCause: "Welche Ursache", words: "Wörter daraus, etwa Spannung Antrieb",
    shown: "{count} von {all} gezeigt", back: "Zurück", before: "Bevor Sie beginnen", first: "Was tun Sie zuerst? Jedes kostet eine Minute und gilt nur für diesen Schritt.", doCheck: "Prüfen", doRepair: "Beheben",
    solved: "Gelöst: {points} Punkte", unsolved: "Nicht gelöst: {points} Punkte", itWas: "Es war: {cause}, {where}.", more: "Im Nachschlagewerk weiterlesen", english: "Ein Teil des Textes liegt nur auf Englisch vor.",
    forCause: "Ursache beim ersten Versuch", forTime: "Zeit", forSafety: "Sicherheit", forParts: "Keine unnötige Reparatur", of: "{points} von {most}", mine: "Ihre Minuten", planners: "Die des Planers",
    notSolved: "{minutes} min, nicht gelöst", shortest: "Der kürzeste Weg", climbs: "Aufstiege, Ihre und die des Planers", unsafe: "Unsicher in Schritt {step}: {name}", danger: "{caution}: {why}. {precaution}.",
    both: "Beide Wege", you: "Sie", planner: "Der Planer", another: "Ein weiterer Einsatz",
    prove: "Nachweisen, dass es geht", doExplain: "Erklären", forEvidence: "Eine Prüfung, die dafür spricht", forProof: "Nachweis", unproved: "Behoben, nicht nachgewiesen: {points} Punkte", missing: "Was fehlt, und warum", notNeeded: "Ohne Nutzen",
    needless: "Schritt {step}, {name}. Nicht nötig: {precautions}.", spoiled: "Schritt {step}, {name}. Nichts zu sehen: Gebraucht wird, was Sie abgeschaltet haben.",
  },
  da: {
    title: "Øv en udrykning", about: "En fejl er gemt i en virtuel kopi af anlægget. Find den, sikkert og på få minutter.", site: "Anlæg",
    faults: "Fejl om", weak: "det, holdet svarede forkert på", anything: "alt", seed: "Startal: det samme gemmer den samme fejl", language: "Sprog", begin: "Begynd",
    caller: "Opringeren siger", spent: "{minutes} min brugt, {climbs} opstigninger.", stand: "Du står her: {place}.", check: "Lav en kontrol", repair: "Nævn årsagen, udbedr eller forklar den",
    stop: "Giv op og se gennemgangen", minutes: "{minutes} min", whichCheck: "Hvilken kontrol", whichCause: "Hvilken årsag", words: "Ord fra den, for eksempel spænding motor",
    shown: "{count} af {all} vist", back: "Tilbage", before: "Før du begynder", first: "Hvad gør du først? Hver ting koster et minut og gælder kun dette trin.", doCheck: "Lav kontrollen", doRepair: "Udbedr",
    solved: "Løst: {points} point", unsolved: "Ikke løst: {points} point", itWas: "Det var: {cause}, {where}.", more: "Læs videre i opslagsværket", english: "En del af teksten findes kun på engelsk.",
    forCause: "Årsag i første forsøg", forTime: "Tid", forSafety: "Sikkerhed", forParts: "Ingen unødig reparation", of: "{points} af {most}", mine: "Dine minutter", planners: "Planlæggerens",
    notSolved: "{minutes} min, ikke løst", shortest: "Den korteste vej", climbs: "Opstigninger, dine og planlæggerens", unsafe: "Usikkert i trin {step}: {name}", danger: "{caution}: {why}. {precaution}.",
    both: "Begge veje", you: "Du", planner: "Planlæggeren", another: "En udrykning til",
    prove: "Eftervis, at det virker", doExplain: "Forklar", forEvidence: "En kontrol, der taler for den", forProof: "Bevis", unproved: "Udbedret, ikke eftervist: {points} point", missing: "Hvad der mangler, og hvorfor", notNeeded: "Uden nytte",
    needless: "Trin {step}, {name}. Ikke nødvendigt: {precautions}.", spoiled: "Trin {step}, {name}. Intet at se: det kræver det, du har afbrudt.",
  },
};

/** @param {string} language */
export const practiseWords = (language) => speaker(PRACTISE, language);
