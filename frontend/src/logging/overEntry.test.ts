import { describe, expect, it } from 'vitest';
import type { BallsInOver } from '../api/contract';
import {
  ballsOf,
  bowl,
  isComplete,
  isOverfull,
  MOST_BALLS,
  newOver,
  tapsOf,
  ticksOf,
  undo,
  validOf,
  type OverEntry,
  type Tap,
} from './overEntry';

const B: Tap = 'ball';
const W: Tap = 'wide';
const N: Tap = 'no_ball';

function over(format: BallsInOver, taps: readonly Tap[], begun = { balls: 0, valid: 0 }): OverEntry {
  return taps.reduce(bowl, newOver(format, begun));
}

// Laws of Cricket (MCC, 2017 Code), Law 17.1: an over is six balls; Law 17.3: wides and no-balls do not count as one of
// them (from memory). The other ways of counting are those of junior formats (common practice).
describe('when an over is up', () => {
  const cases: [BallsInOver, readonly Tap[], boolean][] = [
    ['six_valid', [B, B, B, B, B], false],
    ['six_valid', [B, B, B, B, B, B], true],
    ['six_valid', [B, W, B, B, N, B, B], false],
    ['six_valid', [B, W, B, B, N, B, B, B], true],
    ['six_valid', [W, W, W, W, W, W, W, W, W], false],
    ['six_fixed', [B, W, N, B, B], false],
    ['six_fixed', [B, W, N, B, B, W], true],
    ['at_most_7', [B, B, B, B, B, B], true],
    ['at_most_7', [B, W, B, B, B, B], false],
    ['at_most_7', [B, W, B, B, B, N, W], true],
    ['at_most_8', [B, W, B, B, B, N, W], false],
    ['at_most_8', [B, W, B, B, B, N, W, W], true],
    ['at_most_8', [B, B, B, W, B, B, B], true],
    ['five_fixed', [B, B, W, B], false],
    ['five_fixed', [B, B, W, B, N], true],
  ];
  it.each(cases)('%s after %j: %s', (format, taps, complete) => {
    expect(isComplete(over(format, taps))).toBe(complete);
  });

  it('asks for five where the format has five, else for six', () => {
    expect(ticksOf('five_fixed')).toBe(5);
    for (const format of ['six_valid', 'six_fixed', 'at_most_7', 'at_most_8'] as const) expect(ticksOf(format)).toBe(6);
  });
});

describe('an over as it is bowled', () => {
  it('counts wides and no-balls as balls and not as valid', () => {
    const entry = over('six_valid', [B, W, N, B]);
    expect([ballsOf(entry), validOf(entry)]).toEqual([4, 2]);
  });

  it('takes the last delivery back, and nothing from an empty one', () => {
    expect(undo(over('six_valid', [B, W])).taps).toEqual([B]);
    expect(undo(newOver('six_valid')).taps).toEqual([]);
  });

  it('logs a seventh valid ball that an umpire let happen, and says so', () => {
    expect(isOverfull(over('six_valid', [B, B, B, B, B, B]))).toBe(false);
    const seven = over('six_valid', [B, B, B, B, B, B, B]);
    expect(isOverfull(seven)).toBe(true);
    expect(ballsOf(seven)).toBe(7);
  });

  it('stops at the most that the contract takes', () => {
    const long = over(
      'six_valid',
      Array.from({ length: MOST_BALLS + 5 }, () => W),
    );
    expect(ballsOf(long)).toBe(MOST_BALLS);
  });

  it('does not change the over it starts from', () => {
    const before = over('six_valid', [B]);
    bowl(before, W);
    expect(before.taps).toEqual([B]);
  });
});

// Law 17.8: where a bowler cannot finish, another bowls the rest (from memory).
describe('a shared over', () => {
  it('is up when both shares make it up', () => {
    const begun = { balls: 3, valid: 2 };
    expect(isComplete(over('six_valid', [B, B, B], begun))).toBe(false);
    expect(isComplete(over('six_valid', [B, B, B, B], begun))).toBe(true);
    expect(isComplete(over('six_fixed', [B, W, B], begun))).toBe(true);
  });

  it('counts only the share of the bowler in hand', () => {
    const entry = over('six_valid', [B, B], { balls: 4, valid: 4 });
    expect([ballsOf(entry), validOf(entry)]).toEqual([2, 2]);
  });
});

describe('a logged over drawn again', () => {
  it('has its valid balls first and then its extras', () => {
    expect(tapsOf(8, 6)).toEqual([B, B, B, B, B, B, W, W]);
    expect(tapsOf(2, 2)).toEqual([B, B]);
  });
});
