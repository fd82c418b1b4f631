/** What was said and found in a case, oldest first, and room for notes. */

import { button, make } from "../elements.js";
import { locale, t } from "../language.js";
import { plain, sentence } from "../say.js";

/** @import {CaseEvent, CaseRow, Desk} from "./desk.js" */
/** @import {Names} from "./names.js" */

const NOBODY = "local"; // the service runs for this computer alone and knows no people
const SILENT = new Set(["understood", "crew"]);

const KINDS = /** @type {Record<string, string>} */ ({
  opened: "Opened",
  text: "Said",
  answer: "Answer",
  "took-back": "Took back",
  reading: "Reading",
  note: "Note",
  "hand-over": "Handed over",
  "remote-mode": "A caller is there",
  "cause-confirmed": "Cause confirmed",
  repair: "Repair",
  proof: "Proof",
  site: "Site",
  closed: "Closed",
  reopened: "Opened again",
  attachment: "Photo",
});

const STATES = /** @type {Record<string, string>} */ ({
  open: "open",
  closed: "closed",
});

/** @param {CaseRow} found @param {CaseEvent[]} events @param {Names} names @returns {Node[]} */
export function talk(found, events, names) {
  const said = events.filter((it) => !SILENT.has(it.kind));
  return [
    make("h2", { tabindex: -1 }, found.title),
    make("p", { class: "soft" }, `${names.site(found.site)}, ${t(STATES[found.status] ?? found.status)}`),
    make("ol", { class: "plain stack talk" }, said.map((it) => row(it, names))),
  ];
}

/** @param {CaseEvent} it @param {Names} names */
function row(it, names) {
  const at = it.data.noted_at ?? it.at;
  const clock = make("time", { datetime: at }, new Date(at).toLocaleTimeString(locale(), { hour: "2-digit", minute: "2-digit" }));
  const kind = t(KINDS[it.kind] ?? sentence(it.kind.replaceAll("-", " ")));
  return make("li", { class: it.data.noted_at ? "on-site" : "" }, clock, " ", make("strong", {}, `${kind}: `), words(it, names), it.by === NOBODY ? null : make("span", { class: "soft" }, ` ${it.by}`));
}

/** @param {CaseEvent} it @param {Names} names @returns {string} */
function words(it, names) {
  const { data } = it;
  const at = data.part ? t(" at {part}", { part: data.part }) : "";
  if (it.kind === "opened") return (data.symptoms ?? []).map((/** @type {any} */ one) => names.symptom(one.id)).join(", ") || data.text || t("a call");
  if (it.kind === "answer") return `${names.check(data.check)}${at}: ${names.outcome(data.check, data.outcome)}${data.certainty === "think-so" ? t(" (think so)") : ""}`;
  if (it.kind === "repair" || it.kind === "cause-confirmed") return `${names.cause(data.cause)}${at}${data.helped === false ? t(", still there") : ""}`;
  if (it.kind === "took-back") return t("number {seq} and what followed", { seq: data.seq });
  if (data.on !== undefined) return data.on ? t("yes") : t("no");
  return data.text ?? data.what ?? data.note ?? data.name ?? (data.outcome ? plain(data.outcome) : null) ?? data.to ?? "";
}

/** @param {Desk} desk @returns {HTMLElement} */
export function noteEntry(desk) {
  const box = /** @type {HTMLTextAreaElement} */ (make("textarea", { id: "desk-note", rows: 2, maxlength: 1000 }));
  const keep = () => {
    if (box.value.trim() === "") return box.focus();
    void desk.add([{ kind: "note", text: box.value.trim() }]);
    box.value = "";
  };
  return make("div", { class: "field stack" }, make("label", { for: "desk-note" }, t("Note")), box, button(t("Save the note"), keep));
}
