/** Take back the last answer. */

import { addressOf } from "./address.js";
import { recordUndo } from "./recording.js";

/** @import {Context} from "./context.js" */

/** @param {Context} context @param {number} count  steps that count now @param {string} screen  where to go on */
export function undo(context, count, screen) {
  const before = context.subject();
  void recordUndo(before, count - 1);
  context.change({ ...before, steps: before.steps.slice(0, count - 1), proved: null });
  context.go(addressOf(screen, count - 1));
}
