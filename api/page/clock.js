/** Times on the site's clock, which may differ from this phone's. They are texts such as `2026-05-04T10:17`. */

import { locale, t } from "./language.js";

/** @import {Case} from "./types.js" */

const MINUTE_MS = 60_000;
const HOUR_MS = 60 * MINUTE_MS;
const DAY_MS = 24 * HOUR_MS;

/** @param {string} moment @returns {string} `10:17` */
export function clockOf(moment) {
  return moment.slice(11, 16);
}

/** @param {string} moment @returns {string} `4 May` */
export function dayOf(moment) {
  const [year, month, day] = moment.slice(0, 10).split("-").map(Number);
  const date = new Date(Date.UTC(year, month - 1, day));
  return new Intl.DateTimeFormat(locale(), { day: "numeric", month: "long", timeZone: "UTC" }).format(date);
}

/**
 * @param {string} moment
 * @param {string|null} seenFrom
 * @returns {string} `10:17`, with the day when it is another one
 */
export function sayMoment(moment, seenFrom) {
  const isSameDay = seenFrom !== null && moment.slice(0, 10) === seenFrom.slice(0, 10);
  return isSameDay ? clockOf(moment) : t("{clock} on {day}", { clock: clockOf(moment), day: dayOf(moment) });
}

/**
 * @param {string} moment
 * @param {number} minutes
 * @returns {string} so many minutes later, or earlier when negative
 */
export function shifted(moment, minutes) {
  return new Date(Date.parse(`${moment}Z`) + minutes * MINUTE_MS).toISOString().slice(0, 16);
}

/** @param {string} start @param {string} end @returns {number} minutes from one moment to the other */
export function minutesBetween(start, end) {
  return (Date.parse(`${end}Z`) - Date.parse(`${start}Z`)) / MINUTE_MS;
}

/**
 * @param {Case} subject
 * @param {number} phone  this phone's clock in milliseconds
 * @returns {string|null} the time on the site's clock now, or the time somebody chose to ask about
 */
export function siteNow(subject, phone) {
  if (subject.at === null || subject.atChosen || subject.heardAt === null) return subject.at;
  return shifted(subject.at.slice(0, 16), Math.floor((phone - subject.heardAt) / MINUTE_MS));
}

/**
 * @param {string} clock  `10:05`
 * @param {string} before  a moment
 * @returns {string} the last moment before at which a clock showed that
 */
export function lastAt(clock, before) {
  const sameDay = `${before.slice(0, 10)}T${clock.slice(0, 5)}`;
  return sameDay <= before.slice(0, 16) ? sameDay : shifted(sameDay, -24 * 60);
}

/** @param {number} length  in milliseconds @returns {string} */
export function ago(length) {
  if (length < 0) return t("at an unknown time, for this phone's clock was set back");
  if (length < 2 * MINUTE_MS) return t("just now");
  if (length < 2 * HOUR_MS) return t("{count} minutes ago", { count: Math.floor(length / MINUTE_MS) });
  if (length < 2 * DAY_MS) return t("{count} hours ago", { count: Math.floor(length / HOUR_MS) });
  return t("{count} days ago", { count: Math.floor(length / DAY_MS) });
}
