/** ISO 8601 durations of whole years and months: how long an opened bottle keeps. */
const DURATION = /^P(?:(\d{1,3})Y)?(?:(\d{1,4})M)?$/;

/** Months of a duration such as "P24M" or "P2Y"; null where it is another one. */
export function monthsOf(duration: string): number | null {
  const [, years, months] = DURATION.exec(duration) ?? [];
  if (years === undefined && months === undefined) return null;
  return Number(years ?? 0) * 12 + Number(months ?? 0);
}

export const durationOf = (months: number): string => `P${months}M`;

/** Whether `text` is a day that exists, as ISO 8601 "2026-01-31". */
export function isDay(text: string): boolean {
  if (!/^\d{4}-\d\d-\d\d$/.test(text)) return false;
  const time = Date.parse(`${text}T00:00:00Z`);
  return !Number.isNaN(time) && new Date(time).toISOString().startsWith(text);
}

/** The day so many months later; where that month is shorter, its last day. */
export function plusMonths(day: string, months: number): string {
  const [year = 0, month = 1, date = 1] = day.split('-').map(Number);
  const last = new Date(Date.UTC(year, month + months, 0)).getUTCDate();
  return new Date(Date.UTC(year, month - 1 + months, Math.min(date, last))).toISOString().slice(0, 10);
}

/** Whole days from one day to another; negative where it lies before. */
export const daysBetween = (from: string, to: string): number =>
  Math.round((Date.parse(`${to}T00:00:00Z`) - Date.parse(`${from}T00:00:00Z`)) / 86_400_000);
