/** What was said and found in a case, oldest first, and room for notes. */

import { button, make } from "../elements.js";
import { plain, sentence } from "../say.js";

/** @import {CaseEvent, CaseRow, Desk} from "./desk.js" */
/** @import {Words} from "../offline/types.js" */

const NOBODY = "local"; // the service runs for this computer alone and knows no people
const SILENT = new Set(["understood"]);

/** @param {CaseRow} found @param {CaseEvent[]} events @param {Words} names @returns {Node[]} */
export function talk(found, events, names) {
  const said = events.filter((it) => !SILENT.has(it.kind));
  return [
    make("h2", { tabindex: -1 }, found.title),
    make("p", { class: "soft" }, `${found.site ?? "No description"}, ${found.status}`),
    make("ol", { class: "plain stack talk" }, said.map((it) => row(it, names))),
  ];
}

/** @param {CaseEvent} it @param {Words} names */
function row(it, names) {
  const at = it.data.noted_at ?? it.at;
  const clock = make("time", { datetime: at }, new Date(at).toLocaleTimeString("en-GB", { hour: "2-digit", minute: "2-digit" }));
  return make("li", { class: it.data.noted_at ? "on-site" : "" }, clock, " ", make("strong", {}, `${sentence(it.kind.replaceAll("-", " "))}: `), words(it, names), it.by === NOBODY ? null : make("span", { class: "soft" }, ` ${it.by}`));
}

/** @param {CaseEvent} it @param {Words} names @returns {string} */
function words(it, names) {
  const { data } = it;
  const at = data.part ? ` at ${data.part}` : "";
  if (it.kind === "opened") return (data.symptoms ?? []).map((/** @type {any} */ one) => names.symptoms.find((known) => known.id === one.id)?.name ?? plain(one.id)).join(", ") || "a call";
  if (it.kind === "answer") return `${names.checks[data.check]?.name ?? plain(data.check)}${at}: ${outcomeName(names, data)}`;
  if (it.kind === "repair" || it.kind === "cause-confirmed") return `${names.causes[data.cause]?.name ?? plain(data.cause)}${at}${data.helped === false ? ", still there" : ""}`;
  if (it.kind === "took-back") return `number ${data.seq} and what followed`;
  return data.text ?? data.what ?? data.note ?? data.name ?? data.outcome ?? data.to ?? (data.on === undefined ? "" : data.on ? "on" : "off");
}

/** @param {Words} names @param {any} data  of an answer */
function outcomeName(names, data) {
  const label = names.checks[data.check]?.outcomes.find(([id]) => id === data.outcome)?.[1];
  return label?.replace(/:? ?\{expect\}/, "") ?? plain(data.outcome);
}

/** @param {Desk} desk @returns {HTMLElement} */
export function noteEntry(desk) {
  const box = /** @type {HTMLTextAreaElement} */ (make("textarea", { id: "desk-note", rows: 2, maxlength: 1000 }));
  const keep = () => {
    if (box.value.trim() === "") return box.focus();
    void desk.add([{ kind: "note", text: box.value.trim() }]);
    box.value = "";
  };
  return make("div", { class: "field stack" }, make("label", { for: "desk-note" }, "Note"), box, button("Keep the note", keep));
}
