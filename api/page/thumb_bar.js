/** The main actions at the bottom of the screen, under the thumb. */

import { make } from "./elements.js";

const MOST_OF_SCREEN = 0.3;

/**
 * @param {Node[]} actions
 * @returns {HTMLElement} stays in sight, unless large text would make it cover what is read
 */
export function thumbBar(actions) {
  const bar = make("div", { class: "actions" }, actions);
  new ResizeObserver(() => bar.classList.toggle("resting", bar.offsetHeight > innerHeight * MOST_OF_SCREEN)).observe(bar);
  return bar;
}
