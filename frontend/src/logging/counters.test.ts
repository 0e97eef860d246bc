import { describe, expect, it } from 'vitest';
import type { Practice } from '../api/contract';
import { ballsOf, countsOf, MOST_PRACTICE_BALLS, openCount, withBalls, writeOf } from './counters';
import type { WaitingPractice } from './unsent.svelte';

const stored = (change: Partial<Practice>): Practice => ({
  id: 'a',
  playerId: 'asha',
  kind: 'wrist_spin',
  balls: 12,
  overs: null,
  hits: null,
  trial: null,
  effort: null,
  version: 2,
  ...change,
});

const waiting = (id: string, body: Partial<WaitingPractice['body']>): WaitingPractice => ({
  what: 'practice',
  id,
  regionId: 'r',
  outingId: 'o',
  body: { playerId: 'asha', kind: 'wrist_spin', balls: 18, version: 2, ...body },
  unanswered: [],
  refusal: null,
  theirs: null,
});

describe('counts at nets', () => {
  it('lays what waits over what is stored, once', () => {
    const counts = countsOf([stored({})], [waiting('a', { balls: 18 }), waiting('b', { kind: 'seam_up', balls: 6 })]);
    expect(ballsOf(counts, 'asha')).toBe(24);
    expect(ballsOf(counts, 'asha', 'wrist_spin')).toBe(18);
    expect(ballsOf(counts, 'asha', 'seam_up')).toBe(6);
    expect(ballsOf(counts, 'bryn')).toBe(0);
  });

  it('counts a trial, and counts nothing on it', () => {
    const counts = countsOf([stored({ trial: 'box', hits: 7 })], []);
    expect(ballsOf(counts, 'asha')).toBe(12);
    expect(openCount(counts, 'asha', 'wrist_spin')).toBeUndefined();
  });

  it('never goes below none or above what the contract takes', () => {
    const [count] = countsOf([stored({})], []);
    if (!count) throw new Error('no count');
    expect(withBalls(count, -20).balls).toBe(0);
    expect(withBalls(count, 1000).balls).toBe(MOST_PRACTICE_BALLS);
  });

  it('sends back what the entry held besides', () => {
    const [count] = countsOf([stored({ overs: 2, effort: 6 })], []);
    if (!count) throw new Error('no count');
    expect(writeOf(count)).toEqual({
      playerId: 'asha',
      kind: 'wrist_spin',
      balls: 12,
      overs: 2,
      effort: 6,
      hits: null,
      trial: null,
      version: 2,
    });
  });
});
