/** Lead the thumb from the top of a long screen down to where it is answered. */

import { button } from "./elements.js";

/**
 * @param {string} text
 * @param {string} heading  id of the heading to go to
 * @param {string} answers  id of what is answered there
 * @returns {HTMLElement} a button that is there while the answers are out of sight; its place stays empty then, so that a second tap meets nothing
 */
export function wayDown(text, heading, answers) {
  const down = button(text, () => {
    const target = document.getElementById(heading);
    target?.scrollIntoView();
    target?.focus({ preventScroll: true });
  }, "main");
  const watch = new IntersectionObserver(([seen]) => down.classList.toggle("let-go", seen.isIntersecting));
  requestAnimationFrame(() => {
    const watched = document.getElementById(answers);
    if (watched) watch.observe(watched);
  });
  return down;
}
