import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import type { Finding } from '../api/contract';
import { allowance, OneOuting, OUTING, signInCoach } from '../testing';
import { MatchDesk } from './matchDesk.svelte';
import { unsent } from './pending';

let service: OneOuting;
let match: MatchDesk;

async function open(): Promise<void> {
  match = new MatchDesk('region', OUTING);
  await match.load();
}

/** Lets everything that is on its way arrive. */
async function settled(): Promise<void> {
  await unsent.flush();
  await vi.advanceTimersByTimeAsync(0);
}

async function bowlOver(playerId: string, balls = 6): Promise<void> {
  match.choose(playerId);
  for (let i = 0; i < balls; i++) match.tap('ball');
  match.endOver(false);
  await settled();
}

beforeEach(async () => {
  vi.useFakeTimers();
  sessionStorage.clear();
  signInCoach();
  service = new OneOuting('match', ['asha', 'bryn', 'fern']);
  vi.stubGlobal('fetch', service.fetch);
  unsent.open('robin');
  await open();
});

afterEach(async () => {
  service.cut = false;
  match.leave();
  await settled();
  unsent.clear();
  vi.useRealTimers();
});

describe('a match over by over', () => {
  it('starts with the first over from end A and goes on from the other end', async () => {
    expect(match.place).toEqual({ innings: 1, over: 1, end: 'A' });
    match.choose('asha');
    match.tap('ball');
    match.tap('wide');
    match.tap('no_ball');
    match.undo();
    for (let i = 0; i < 5; i++) match.tap('ball');
    match.endOver(false);
    await settled();
    expect(service.sent[0]?.body).toEqual({
      date: '2026-05-09',
      innings: 1,
      over: 1,
      end: 'A',
      playerId: 'asha',
      kind: 'finger_spin',
      balls: 7,
      valid: 6,
      breakMin: 0,
      version: 0,
      pastLimitConfirmed: false,
    });
    expect(match.place).toEqual({ innings: 1, over: 2, end: 'B' });
    expect(match.pad).toBeNull();
    expect(match.stale).toBe(false);
  });

  // Law 17.6: no bowler two overs running, nor parts of each of two (Laws of Cricket, MCC, 2017 Code; from memory).
  it('bars the bowler of the last over, and nobody else', async () => {
    await bowlOver('asha');
    expect(match.barred('asha')).toBe('bowled_last_over');
    expect(match.barred('bryn')).toBeNull();
    await bowlOver('bryn');
    expect(match.barred('asha')).toBeNull();
    expect(match.barred('bryn')).toBe('bowled_last_over');
  });

  it('offers first the bowler who goes on from this end', async () => {
    await bowlOver('fern');
    await bowlOver('asha');
    expect(match.bowlers.map((bowler) => bowler.id)).toEqual(['fern', 'asha', 'bryn']);
  });

  it('lets another bowler finish an over, and bars both from the next', async () => {
    match.choose('asha');
    match.tap('ball');
    match.tap('ball');
    match.endOver(true);
    await settled();
    expect(match.place.over).toBe(1);
    expect(match.begun).toEqual({ balls: 2, valid: 2 });
    expect(match.barred('asha')).toBe('began_this_over');
    match.choose('bryn');
    expect(match.pad?.entry.begun).toEqual({ balls: 2, valid: 2 });
    for (let i = 0; i < 4; i++) match.tap('ball');
    match.endOver(false);
    await settled();
    expect(service.outing.overs.map((over) => [over.over, over.playerId, over.balls])).toEqual([
      [1, 'asha', 2],
      [1, 'bryn', 4],
    ]);
    expect(match.barred('asha')).toBe('bowled_last_over');
    expect(match.barred('bryn')).toBe('bowled_last_over');
  });

  it('logs a break before the over it came before, once', async () => {
    match.breakMin = 45;
    await bowlOver('asha');
    await bowlOver('bryn');
    expect(service.outing.overs.map((over) => over.breakMin)).toEqual([45, 0]);
  });
});

describe('past a limit', () => {
  const breaks = [{ limit: 'spell_overs', says: 'One over too many.' } as Finding];

  beforeEach(async () => {
    service.bowlers = [allowance('asha', { next: [{ kind: 'finger_spin', breaks }] }), allowance('bryn')];
    await open();
  });

  it('asks first, and takes no for an answer', () => {
    match.choose('asha');
    expect(match.asking?.breaks).toEqual(breaks);
    expect(match.pad).toBeNull();
    match.asking = null;
    match.choose('bryn');
    expect(match.pad?.playerId).toBe('bryn');
  });

  it('says with the over that it was confirmed', async () => {
    match.choose('asha');
    match.confirm();
    match.tap('ball');
    match.endOver(false);
    await settled();
    expect(service.sent[0]?.body).toMatchObject({ playerId: 'asha', pastLimitConfirmed: true });
  });

  it('asks about the kind that is bowled, not only the usual one', () => {
    match.choose('asha', 'wrist_spin');
    expect(match.asking).toBeNull();
    match.tap('ball');
    match.choose('asha', 'finger_spin');
    expect(match.asking?.kind).toBe('finger_spin');
    expect(match.pad?.kind).toBe('wrist_spin');
    match.confirm();
    expect(match.pad).toMatchObject({ kind: 'finger_spin', confirmed: true });
    expect(match.pad?.entry.taps).toEqual(['ball']);
  });
});

describe('what goes wrong', () => {
  it('a reload in the middle of an over gives it back', async () => {
    match.choose('asha');
    match.tap('ball');
    match.tap('wide');
    match.leave();
    await open();
    expect(match.pad).toMatchObject({ playerId: 'asha', entry: { taps: ['ball', 'wide'] } });
    expect(Object.values({ ...sessionStorage }).join()).not.toContain('Asha');
  });

  it('without a link the match goes on, and every over arrives once', async () => {
    service.cut = true;
    await bowlOver('asha');
    await bowlOver('bryn');
    await bowlOver('asha');
    expect(match.book.map((row) => row.over)).toEqual([3, 2, 1]);
    expect(match.place).toEqual({ innings: 1, over: 4, end: 'B' });
    expect(match.stale).toBe(true);
    expect(match.barred('asha')).toBe('bowled_last_over');
    service.cut = false;
    await unsent.flush();
    await settled();
    expect(service.outing.overs.map((over) => [over.over, over.playerId])).toEqual([
      [1, 'asha'],
      [2, 'bryn'],
      [3, 'asha'],
    ]);
    expect(match.stale).toBe(false);
  });

  it('an over is put right under its own id and version', async () => {
    await bowlOver('asha');
    const part = match.book[0]?.parts[0];
    if (!part) throw new Error('no over in the book');
    const { date, breakMin, version } = part;
    const where = { innings: 1, over: 1, end: 'A' as const };
    match.correct(part, { ...where, date, breakMin, version, playerId: 'fern', kind: null, balls: 7, valid: 6 });
    await settled();
    expect(service.outing.overs).toHaveLength(1);
    expect(service.sent.at(-1)?.body).toMatchObject({ playerId: 'fern', balls: 7, version: 1 });
    expect(match.book[0]?.parts[0]).toMatchObject({ id: part.id, playerId: 'fern', version: 2 });
  });

  it('an over that was taken back is out of the book, and its number is next again', async () => {
    await bowlOver('asha');
    const part = match.book[0]?.parts[0];
    if (!part) throw new Error('no over in the book');
    await match.takeBack(part);
    expect(match.book).toEqual([]);
    expect(match.place).toEqual({ innings: 1, over: 1, end: 'A' });
    expect(match.barred('asha')).toBeNull();
  });
});
