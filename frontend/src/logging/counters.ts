import type { BowlingKind, Practice, PracticeWrite } from '../api/contract';
import type { Waiting } from './unsent.svelte';

/** What one bowler has bowled of one kind at one outing, in one entry of the log. */
export interface Count {
  readonly id: string;
  readonly playerId: string;
  readonly kind: BowlingKind | null;
  readonly balls: number;
  readonly version: number;
  /** What the entry holds besides; it is sent back as it came. */
  readonly overs: number | null;
  readonly effort: number | null;
  /** False for a trial, which is not counted on by this screen. */
  readonly open: boolean;
}

/** The contract takes at most this many balls in one entry. */
export const MOST_PRACTICE_BALLS = 600;

/** What the service holds with what waits laid over it. */
export function countsOf(practice: readonly Practice[], waiting: readonly Waiting[]): Count[] {
  const counts = new Map<string, Count>();
  for (const entry of practice) {
    counts.set(entry.id, { ...entry, open: entry.trial === null && entry.hits === null });
  }
  for (const entry of waiting) {
    if (entry.what !== 'practice') continue;
    const { playerId, kind, balls, version, overs, effort } = entry.body;
    counts.set(entry.id, {
      id: entry.id,
      playerId,
      kind: kind ?? null,
      balls,
      version,
      overs: overs ?? null,
      effort: effort ?? null,
      open: true,
    });
  }
  return [...counts.values()];
}

/** The entry that taps of this bowler and kind are counted in; undefined where none is there yet. */
export function openCount(counts: readonly Count[], playerId: string, kind: BowlingKind | null): Count | undefined {
  return counts.find((count) => count.open && count.playerId === playerId && count.kind === kind);
}

/** All balls of a bowler at this outing, of one kind or of every kind. */
export function ballsOf(counts: readonly Count[], playerId: string, kind?: BowlingKind | null): number {
  return counts
    .filter((count) => count.playerId === playerId && (kind === undefined || count.kind === kind))
    .reduce((sum, count) => sum + count.balls, 0);
}

/** The count with more or fewer balls, never below none and never above what the contract takes. */
export function withBalls(count: Count, change: number): Count {
  return { ...count, balls: Math.max(0, Math.min(MOST_PRACTICE_BALLS, count.balls + change)) };
}

/** The count as it is sent. */
export function writeOf(count: Count): PracticeWrite {
  const { playerId, kind, balls, overs, effort, version } = count;
  return { playerId, kind, balls, overs, effort, hits: null, trial: null, version };
}
