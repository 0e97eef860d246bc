import { describe, expect, it } from 'vitest';
import { dayName, dayRange, instantName } from './dates';

describe('days in words', () => {
  it('writes weekday, day and month, with no comma', () => {
    expect(dayName('2026-05-09', '2026-05-11')).toBe('Sat 9 May');
    expect(dayName('2026-09-05', '2026-09-05')).toBe('Sat 5 Sep');
  });

  it('adds the year where it is another one', () => {
    expect(dayName('2025-08-31', '2026-05-11')).toBe('Sun 31 Aug 2025');
  });

  it('writes a range, and one day as one day', () => {
    expect(dayRange('2026-05-09', '2026-05-11', '2026-05-12')).toBe('Sat 9 May to Mon 11 May');
    expect(dayRange('2026-05-09', '2026-05-09', '2026-05-12')).toBe('Sat 9 May');
  });

  it('does not shift a day by the zone of the machine', () => {
    // 29 March 2026 is the day on which clocks go forward in Europe; a leap day stands for month ends.
    expect(dayName('2026-03-29', '2026-04-01')).toBe('Sun 29 Mar');
    expect(dayName('2028-02-29', '2028-03-01')).toBe('Tue 29 Feb');
  });

  it('refuses what is no day', () => {
    expect(() => dayName('2026-02-30', '2026-03-01')).toThrow('no such day');
    expect(() => dayName('9 May', '2026-03-01')).toThrow('not a civil date');
  });

  it('shows an instant in the zone of the region', () => {
    expect(instantName('2026-05-11T21:30:00Z', 'Europe/London')).toBe('Mon 11 May, 22:30');
    expect(instantName('2026-05-11T21:30:00Z', 'Australia/Sydney')).toBe('Tue 12 May, 07:30');
  });
});
