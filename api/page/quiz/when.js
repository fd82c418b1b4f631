/** Say when a card comes back: pure, tested in Node. */

const HOUR_MS = 3_600_000;

/**
 * @param {string} due  a time in RFC 3339
 * @param {Date} now
 * @param {string} language
 * @param {(name: string, values: Record<string, number>) => string} say
 * @returns {string} minutes within the hour, the time of day within the day, else the date
 */
export function whenTold(due, now, language, say) {
  const at = new Date(due);
  const left = at.getTime() - now.getTime();
  if (left < HOUR_MS) return say("inMinutes", { minutes: Math.max(1, Math.round(left / 60_000)) });
  const tag = language === "en" ? "en-GB" : language;
  if (at.toDateString() === now.toDateString()) return new Intl.DateTimeFormat(tag, { hour: "2-digit", minute: "2-digit" }).format(at);
  const year = at.getFullYear() === now.getFullYear() ? undefined : "numeric";
  return new Intl.DateTimeFormat(tag, { day: "numeric", month: "long", year }).format(at);
}
