import type { BallsInOver } from '../api/contract';

/** One delivery as it is tapped. A wide and a no-ball are load, but not valid balls. */
export type Tap = 'ball' | 'wide' | 'no_ball';

/** What another bowler has already bowled in a shared over. */
export interface Begun {
  readonly balls: number;
  readonly valid: number;
}

/** An over while it is being bowled. */
export interface OverEntry {
  readonly format: BallsInOver;
  readonly begun: Begun;
  readonly taps: readonly Tap[];
}

/** The contract takes at most this many balls of one bowler in one over. */
export const MOST_BALLS = 40;

const NOBODY: Begun = { balls: 0, valid: 0 };

/** A new over; `begun` is what another bowler bowled of it before. */
export function newOver(format: BallsInOver, begun: Begun = NOBODY): OverEntry {
  return { format, begun, taps: [] };
}

/** The over with one more delivery; beyond the contract's most it stays as it is. */
export function bowl(entry: OverEntry, tap: Tap): OverEntry {
  if (entry.taps.length >= MOST_BALLS) return entry;
  return { ...entry, taps: [...entry.taps, tap] };
}

/** The over without its last delivery; what another bowler bowled stays. */
export function undo(entry: OverEntry): OverEntry {
  return { ...entry, taps: entry.taps.slice(0, -1) };
}

/** Balls that this bowler bowled, wides and no-balls included. */
export function ballsOf(entry: OverEntry): number {
  return entry.taps.length;
}

/** Valid balls that this bowler bowled. */
export function validOf(entry: OverEntry): number {
  return entry.taps.filter((tap) => tap === 'ball').length;
}

/** How many valid balls make an over of this format: six, or five where the format says so. */
export function ticksOf(format: BallsInOver): number {
  return format === 'five_fixed' ? 5 : 6;
}

/**
 * Whether the over is due to end. Six valid balls end it where extras are bowled again (Laws of Cricket 2017 Code,
 * Law 17.1 and 17.3); a junior format may count every delivery, six or five, or stop an over of extras at seven or eight.
 */
export function isComplete(entry: OverEntry): boolean {
  const balls = entry.begun.balls + ballsOf(entry);
  const valid = entry.begun.valid + validOf(entry);
  switch (entry.format) {
    case 'six_valid':
      return valid >= 6;
    case 'six_fixed':
      return balls >= 6;
    case 'five_fixed':
      return balls >= 5;
    case 'at_most_7':
      return valid >= 6 || balls >= 7;
    case 'at_most_8':
      return valid >= 6 || balls >= 8;
  }
}

/** Whether there is more in the over than its format asks for: an umpire may miscount, and it is load all the same. */
export function isOverfull(entry: OverEntry): boolean {
  return entry.taps.length > 0 && isComplete(undo(entry));
}

/** A logged over in its taps: the valid balls, then the extras, since the log keeps the counts and not the order. */
export function tapsOf(balls: number, valid: number): Tap[] {
  return [
    ...Array.from({ length: Math.max(0, Math.min(valid, balls)) }, (): Tap => 'ball'),
    ...Array.from({ length: Math.max(0, balls - valid) }, (): Tap => 'wide'),
  ];
}
