// Days, the one thing that is counted here: what is kept on a phone grows older while nobody looks.
const DAY = 24 * 60 * 60 * 1000; // milliseconds
const two = (number) => String(number).padStart(2, "0");
const date = (at) => `${at.getFullYear()}-${two(at.getMonth() + 1)}-${two(at.getDate())}`;
export const today = () => date(new Date());
export const daysSince = (day) => Math.max(0, Math.round((Date.parse(today()) - Date.parse(day)) / DAY));
const weekday = (day) => new Date(`${day}T12:00`).toLocaleDateString("en", { weekday: "long" });
// "today", "yesterday", "Saturday, 9 days old"
export const aged = (day) => {
  const days = daysSince(day);
  return days === 0 ? "today" : days === 1 ? "yesterday" : `${weekday(day)}, ${days} days old`;
};
export const old = (days) => days > document.body.dataset.old;
export const worthALook = (days) => days > document.body.dataset.look;
// A moment as RFC 3339 says it, with the phone's own offset, and the day it is here.
export const typedAt = (at) => {
  const ahead = -at.getTimezoneOffset(), minutes = Math.abs(ahead);
  const offset = `${ahead < 0 ? "-" : "+"}${two(Math.floor(minutes / 60))}:${two(minutes % 60)}`;
  const time = [at.getHours(), at.getMinutes(), at.getSeconds()].map(two).join(":");
  return { typed: `${date(at)}T${time}.${String(at.getMilliseconds()).padStart(3, "0")}${offset}`, day: date(at) };
};
