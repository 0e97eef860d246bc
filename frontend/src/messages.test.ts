import { readdirSync, readFileSync } from 'node:fs';
import { parse, type AST } from 'svelte/compiler';
import { describe, expect, it } from 'vitest';
import { messages } from './messages';

const FORBIDDEN = ['safe to bowl', 'injury risk', 'diagnosis', 'cleared', 'fit to play', 'will prevent', 'treatment'];

/** Every text of messages.ts; a function is asked with small numbers and short words. */
function texts(value: unknown, path = ''): [string, string][] {
  if (typeof value === 'string') return [[path, value]];
  if (typeof value === 'function') {
    const call = value as (...given: unknown[]) => string;
    return [
      [`${path}(1)`, call(1, 1, 1)],
      [`${path}(2)`, call(2, 2, 2)],
      [`${path}(word)`, call('word', 'word', 'word')],
    ];
  }
  return Object.entries(value as object).flatMap(([key, inner]) => texts(inner, `${path}.${key}`));
}

const all = texts(messages);
const components = readdirSync('src', { recursive: true, encoding: 'utf8' }).filter((file) => file.endsWith('.svelte'));

describe('the texts', () => {
  it('are many enough to be worth reading', () => {
    expect(all.length).toBeGreaterThan(150);
    expect(components.length).toBeGreaterThan(20);
  });

  it.each(FORBIDDEN)('never say "%s"', (claim) => {
    expect(all.filter(([, text]) => text.toLowerCase().includes(claim))).toEqual([]);
    const sources = components.filter((file) => readFileSync(`src/${file}`, 'utf8').toLowerCase().includes(claim));
    expect(sources).toEqual([]);
  });

  it('shout nowhere, and have nothing left over in them', () => {
    expect(all.filter(([, text]) => /!|undefined|NaN|\[object|TODO/.test(text))).toEqual([]);
    expect(all.filter(([, text]) => text.trim() !== text || text === '')).toEqual([]);
  });

  it('keep sentences short: on average under 20 words', () => {
    const sentences = all.flatMap(([, text]) => text.split(/[.?;]\s/)).filter((sentence) => /\s/.test(sentence));
    const words = sentences.reduce((sum, sentence) => sum + sentence.split(/\s+/).length, 0);
    expect(words / sentences.length).toBeLessThan(20);
  });

  it.each(components)('%s has no words of its own', (file) => {
    expect(wordsIn(parse(readFileSync(`src/${file}`, 'utf8'), { modern: true }).fragment)).toEqual([]);
  });
});

/** Words that stand in a template, or in an attribute that people read or hear. */
function wordsIn(fragment: AST.Fragment): string[] {
  const found: string[] = [];
  const read = new Set(['aria-label', 'title', 'alt', 'placeholder']);
  const visit = (node: unknown, inAttribute: string | null): void => {
    if (Array.isArray(node)) {
      for (const inner of node) visit(inner, inAttribute);
      return;
    }
    if (typeof node !== 'object' || node === null) return;
    const { type, data, name } = node as { type?: string; data?: string; name?: string };
    if (type === 'Text' && (inAttribute === null || read.has(inAttribute)) && /\p{L}/u.test(data ?? '')) {
      found.push((data ?? '').trim());
    }
    const within = type === 'Attribute' ? (name ?? null) : inAttribute;
    // What is inside braces is code; its strings are names of classes, kinds and states.
    for (const [key, inner] of Object.entries(node)) if (key !== 'expression') visit(inner, within);
  };
  visit(fragment, null);
  return found;
}
