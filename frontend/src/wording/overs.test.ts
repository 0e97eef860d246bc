import { describe, expect, it } from 'vitest';
import { counted, listed, oversNotation } from './overs';

describe('overs in cricket’s notation', () => {
  // Common practice: whole overs, a point, the balls over; 22 balls are 3.4 overs.
  it.each([
    [0, '0'],
    [5, '0.5'],
    [6, '1'],
    [22, '3.4'],
    [60, '10'],
  ])('%i balls are %s', (balls, overs) => expect(oversNotation(balls)).toBe(overs));

  it('counts five to the over where the format does', () => expect(oversNotation(12, 5)).toBe('2.2'));
});

describe('numbers with their nouns', () => {
  it('has one of one and more of the rest', () => {
    expect([counted(0, 'ball'), counted(1, 'ball'), counted(2, 'ball')]).toEqual(['0 balls', '1 ball', '2 balls']);
    expect(counted(2, 'entry', 'entries')).toBe('2 entries');
  });

  it('lists names with "and"', () => expect(listed(['Asha', 'Bryn', 'Fern'])).toBe('Asha, Bryn and Fern'));
});
