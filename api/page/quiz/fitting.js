/** Find what is meant by a few typed words: pure, tested in Node. */

export const SHOWN = 15;

/**
 * @template {{name: string, where: string}} Option
 * @param {Option[]} options
 * @param {string} typed
 * @returns {Option[]} those whose name and place hold every word, the first fifteen
 */
export function fitting(options, typed) {
  const words = typed.toLocaleLowerCase().split(/\s+/).filter(Boolean);
  const found = options.filter((it) => {
    const text = `${it.name} ${it.where}`.toLocaleLowerCase();
    return words.every((word) => text.includes(word));
  });
  return found.slice(0, SHOWN);
}
