import { beforeEach, describe, expect, it, vi } from 'vitest';
import { dropAllDrafts, dropDraft, isRecord, keepDraft, readDraft } from './drafts';

beforeEach(() => sessionStorage.clear());

const isNumbers = (value: unknown): value is number[] =>
  Array.isArray(value) && value.every((item) => typeof item === 'number');

describe('drafts', () => {
  it('gives back what was kept, to the same account only', () => {
    keepDraft('one', 'here', [1, 2]);
    expect(readDraft('one', 'here', isNumbers)).toEqual([1, 2]);
    expect(readDraft('two', 'here', isNumbers)).toBeNull();
  });

  it('does not give back a shape it does not know, nor broken text', () => {
    keepDraft('one', 'here', { from: 'an older release' });
    expect(readDraft('one', 'here', isNumbers)).toBeNull();
    sessionStorage.setItem('longspell.draft.one.here', '{');
    expect(readDraft('one', 'here', isNumbers)).toBeNull();
  });

  it('forgets one, or all and nothing else', () => {
    sessionStorage.setItem('other', 'x');
    keepDraft('one', 'a', [1]);
    keepDraft('two', 'b', [2]);
    dropDraft('one', 'a');
    expect(readDraft('one', 'a', isNumbers)).toBeNull();
    dropAllDrafts();
    expect(readDraft('two', 'b', isNumbers)).toBeNull();
    expect(sessionStorage.getItem('other')).toBe('x');
  });

  it('goes on where the storage is full', () => {
    vi.spyOn(Storage.prototype, 'setItem').mockImplementation(() => {
      throw new DOMException('full', 'QuotaExceededError');
    });
    expect(() => keepDraft('one', 'a', [1])).not.toThrow();
  });

  it('knows an object from a list and from nothing', () => {
    expect([isRecord({}), isRecord([]), isRecord(null), isRecord('x')]).toEqual([true, false, false, false]);
  });
});
