import { describe, expect, it } from 'vitest';
import type { Over } from '../api/contract';
import { bookOf, bowledBefore, bowledIn, endByParity, lastFrom, oversOf, placeAfter } from './matchBook';
import type { WaitingOver } from './unsent.svelte';

function over(id: string, number: number, playerId: string, change: Partial<Over> = {}): Over {
  return {
    id,
    date: '2026-05-09',
    innings: 1,
    over: number,
    end: endByParity(number),
    playerId,
    kind: 'finger_spin',
    balls: 6,
    valid: 6,
    breakMin: 0,
    version: 1,
    ...change,
  };
}

function waits(id: string, body: Partial<WaitingOver['body']>): WaitingOver {
  const whole = {
    date: '2026-05-09',
    innings: 1,
    over: 4,
    playerId: 'bryn',
    balls: 6,
    valid: 6,
    breakMin: 0,
    version: 0,
  };
  return {
    what: 'over',
    id,
    regionId: 'r',
    outingId: 'o',
    body: { ...whole, ...body },
    unanswered: [],
    refusal: null,
    theirs: null,
  };
}

describe('the book of a match', () => {
  const overs = [over('1', 1, 'asha'), over('2', 2, 'bryn'), over('3', 3, 'asha')];

  it('has the latest over first and the shares of an over together', () => {
    const book = bookOf([...overs, over('4a', 4, 'bryn', { balls: 2 }), over('4b', 4, 'fern', { balls: 4 })], []);
    expect(book.map((row) => [row.over, row.parts.map((part) => part.playerId)])).toEqual([
      [4, ['bryn', 'fern']],
      [3, ['asha']],
      [2, ['bryn']],
      [1, ['asha']],
    ]);
  });

  it('shows what waits: new overs and corrections', () => {
    const book = bookOf(overs, [waits('new', {}), waits('3', { over: 3, playerId: 'fern', version: 1 })]);
    expect(book[0]?.parts[0]).toMatchObject({ id: 'new', playerId: 'bryn', version: 0 });
    expect(book[0]?.end).toBe('B');
    expect(book[1]?.parts).toHaveLength(1);
    expect(book[1]?.parts[0]).toMatchObject({ id: '3', playerId: 'fern' });
    expect(book[1]?.parts[0]?.waiting?.id).toBe('3');
  });

  it('knows the next over and its end', () => {
    expect(placeAfter([])).toEqual({ innings: 1, over: 1, end: 'A' });
    expect(placeAfter(bookOf(overs, []))).toEqual({ innings: 1, over: 4, end: 'B' });
    // Ends are as logged, not by parity, where somebody noted otherwise.
    expect(placeAfter(bookOf([over('1', 1, 'asha', { end: 'B' })], []))).toEqual({ innings: 1, over: 2, end: 'A' });
    expect(placeAfter(bookOf([...overs, over('5', 1, 'col', { innings: 2 })], []))).toMatchObject({
      innings: 2,
      over: 2,
    });
  });

  it('knows who bowled the over before, in the same innings, parts included', () => {
    const book = bookOf([...overs, over('4a', 4, 'bryn', { balls: 2 }), over('4b', 4, 'fern', { balls: 4 })], []);
    expect([...bowledBefore(book, 1, 5)].sort()).toEqual(['bryn', 'fern']);
    expect([...bowledBefore(book, 1, 4)]).toEqual(['asha']);
    expect([...bowledBefore(book, 2, 1)]).toEqual([]);
    expect([...bowledIn(book, 1, 4)].sort()).toEqual(['bryn', 'fern']);
  });

  it('knows a bowler’s overs and who goes on from an end', () => {
    const book = bookOf(overs, []);
    expect(oversOf(book, 1, 'asha')).toEqual([1, 3]);
    expect(oversOf(book, 2, 'asha')).toEqual([]);
    expect(lastFrom(book, 1, 'B', 4)).toBe('bryn');
    expect(lastFrom(book, 1, 'A', 3)).toBe('asha');
    expect(lastFrom(book, 1, 'A', 1)).toBeNull();
  });
});
