/** Civil dates as the region writes them. The phone's own time zone never decides which day it is. */

const DAY_AND_MONTH = new Intl.DateTimeFormat('en-GB', {
  weekday: 'short',
  day: 'numeric',
  month: 'short',
  timeZone: 'UTC',
});
const WITH_YEAR = new Intl.DateTimeFormat('en-GB', {
  weekday: 'short',
  day: 'numeric',
  month: 'short',
  year: 'numeric',
  timeZone: 'UTC',
});

function parse(date: string): Date {
  const parts = /^(\d{4})-(\d{2})-(\d{2})$/.exec(date);
  if (!parts) throw new RangeError(`not a civil date: ${date}`);
  const [, year, month, day] = parts.map(Number) as [number, number, number, number];
  const at = new Date(Date.UTC(year, month - 1, day));
  if (at.getUTCMonth() !== month - 1 || at.getUTCDate() !== day) throw new RangeError(`no such day: ${date}`);
  return at;
}

// Intl puts a comma after the weekday in some versions of its data and none in others; we write none.
function plain(format: Intl.DateTimeFormat, at: Date): string {
  return format.format(at).replace(',', '').replace('Sept', 'Sep');
}

/** A civil date in words, "Sat 9 May"; with its year where that is not the year of today. */
export function dayName(date: string, today: string): string {
  const format = date.slice(0, 4) === today.slice(0, 4) ? DAY_AND_MONTH : WITH_YEAR;
  return plain(format, parse(date));
}

/** First and last day of something, "Sat 9 May" or "Sat 9 May to Mon 11 May". */
export function dayRange(first: string, last: string, today: string): string {
  if (first === last) return dayName(first, today);
  return `${dayName(first, today)} to ${dayName(last, today)}`;
}

/** An instant as day and time of the region's zone, "Mon 11 May, 07:05". */
export function instantName(instant: string, timeZone: string): string {
  const at = new Date(instant);
  const day = new Intl.DateTimeFormat('en-GB', { weekday: 'short', day: 'numeric', month: 'short', timeZone });
  const time = new Intl.DateTimeFormat('en-GB', { hour: '2-digit', minute: '2-digit', hourCycle: 'h23', timeZone });
  return `${plain(day, at)}, ${time.format(at)}`;
}
