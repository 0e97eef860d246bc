import { describe, expect, it } from 'vitest';
import type { Allowance, Finding, SetAllowance } from '../api/contract';
import { setsOf, waitsUntil, wouldBreak } from './allowed';

const set = (limitSet: string, change: Partial<SetAllowance> = {}): SetAllowance => ({
  limitSet,
  title: limitSet,
  publisher: 'Nobody',
  year: 2020,
  judged: true,
  spellOvers: 3,
  dayOvers: 5,
  daysIn7: 2,
  runOfDays: 1,
  earliestEndA: null,
  earliestEndB: null,
  ...change,
});

const bowler = (change: Partial<Allowance>) =>
  ({ kind: 'finger_spin', sets: [], next: [], ...change }) as unknown as Allowance;

describe('what is left', () => {
  it('names the first over allowed from the end that is asked for, only where that is later', () => {
    const rests = set('x', { earliestEndA: 15, earliestEndB: 16 });
    expect(waitsUntil(rests, 'A', 9)).toBe(15);
    expect(waitsUntil(rests, 'B', 10)).toBe(16);
    expect(waitsUntil(rests, 'A', 15)).toBeNull();
    expect(waitsUntil(set('x'), 'A', 9)).toBeNull();
  });

  it('asks for the kind in hand, and for the usual one where none is known', () => {
    const broken = [{ limit: 'spell_overs' } as Finding];
    const allowance = bowler({
      next: [
        { kind: 'finger_spin', breaks: [] },
        { kind: 'seam_back', breaks: broken },
      ],
    });
    expect(wouldBreak(allowance, 'seam_back')).toBe(broken);
    expect(wouldBreak(allowance, 'finger_spin')).toEqual([]);
    expect(wouldBreak(allowance, null)).toEqual([]);
    expect(wouldBreak(bowler({ kind: 'seam_back', next: allowance.next }), null)).toBe(broken);
    expect(wouldBreak(undefined, 'seam_back')).toEqual([]);
  });

  it('lists each set once', () => {
    const sets = setsOf([bowler({ sets: [set('a'), set('b')] }), bowler({ sets: [set('b'), set('c')] })]);
    expect(sets.map((one) => one.limitSet)).toEqual(['a', 'b', 'c']);
  });
});
