/** Take back the last answer. */

import { addressOf } from "./address.js";
import { keyOf } from "./case.js";
import { recordUndo } from "./recording.js";

/** @import {Context} from "./context.js" */
/** @import {Step} from "./types.js" */

/** @param {Context} context @param {number} count  steps that count now @param {string} screen  where to go on */
export function undo(context, count, screen) {
  const before = context.subject();
  void recordUndo(before, count - 1);
  context.change({ ...before, steps: before.steps.slice(0, count - 1), proved: null });
  context.go(addressOf(screen, count - 1, screen === "check" ? checkOf(before.steps[count - 1]) : undefined));
}

/** @param {Step} step @returns {string|undefined} the check it answered, so that it is shown again even where another one is offered first */
function checkOf(step) {
  return step.kind === "answer" ? keyOf(/** @type {any} */ (step)) : undefined;
}
