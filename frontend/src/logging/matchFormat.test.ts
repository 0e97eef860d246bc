import { beforeEach, describe, expect, it } from 'vitest';
import { lastFormat, PLAIN_FORMAT, readFormat, readOvers, rememberFormat } from './matchFormat';

beforeEach(() => localStorage.clear());

describe('the format of a match', () => {
  it.each([
    ['', null],
    [' 20 ', 20],
    ['100', 100],
    ['101', undefined],
    ['0', undefined],
    ['3.4', undefined],
    ['-2', undefined],
    ['twenty', undefined],
  ])('reads %j as %s overs', (text, overs) => expect(readOvers(text)).toBe(overs));

  it('is whole or not at all', () => {
    expect(readFormat({ oversASide: '20', bowlerCap: '4', ballsInOver: 'six_valid' })).toEqual({
      oversASide: 20,
      bowlerCap: 4,
      ballsInOver: 'six_valid',
    });
    expect(readFormat({ oversASide: 'x', bowlerCap: '', ballsInOver: 'six_valid' })).toBeNull();
  });

  it('is offered again next time', () => {
    expect(lastFormat()).toEqual(PLAIN_FORMAT);
    rememberFormat({ oversASide: '16', bowlerCap: '', ballsInOver: 'at_most_8' });
    expect(lastFormat()).toEqual({ oversASide: '16', bowlerCap: '', ballsInOver: 'at_most_8' });
  });

  it('forgets one that it does not understand', () => {
    localStorage.setItem('longspell.format', '{"oversASide":"16","bowlerCap":"","ballsInOver":"nine"}');
    expect(lastFormat()).toEqual(PLAIN_FORMAT);
    localStorage.setItem('longspell.format', 'no');
    expect(lastFormat()).toEqual(PLAIN_FORMAT);
  });
});
