/** Hear what others write in the case that is open, while there is a signal. */

import { noteOthers, onOutbox, sentOf } from "./offline/outbox.js";
import { inTurn } from "./offline/turns.js";

/** @import {Case} from "./types.js" */

/** @type {{record: string, source: EventSource}|null} */
let open = null;

/** @param {() => Case} subject  follows whichever case is open from now on */
export function followOthers(subject) {
  onOutbox(() => void follow(subject().record?.id ?? null));
  void follow(subject().record?.id ?? null);
}

/** @param {string|null} record */
async function follow(record) {
  if (open?.record === record) return;
  const known = record === null ? undefined : await sentOf(record);
  if (open?.record === record) return;
  open?.source.close();
  open = null;
  if (!known || record === null) return;
  const source = new EventSource(`v1/cases/${known.id}/stream?after=${known.last}`);
  open = { record, source };
  source.addEventListener("change", (event) => void heard(record, JSON.parse(event.data)));
}

/** @param {string} record @param {{seq: number, kind: string, data: any}} event */
function heard(record, event) {
  return inTurn("sending", () => noteOthers(record, [event])); // after what is being sent, to know our own events by their number
}
