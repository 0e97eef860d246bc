import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';

// Arithmetic of W3C, Web Content Accessibility Guidelines 2.2 (2023): relative luminance and contrast ratio as its glossary
// defines them; 4.5:1 for text (success criterion 1.4.3), 3:1 for marks and the edges of controls (1.4.11).

const css = readFileSync('src/app.css', 'utf8');

function tokens(block: string): Record<string, string> {
  return Object.fromEntries(
    [...block.matchAll(/--([a-z0-9-]+): (#[0-9a-f]{6});/g)].map(([, name, hex]) => [name, hex]),
  );
}

const dark = css.slice(css.indexOf('prefers-color-scheme: dark'));
const day = tokens(css.slice(0, css.indexOf('prefers-color-scheme: dark')));
const night = tokens(dark);

function luminance(hex: string): number {
  const channel = (at: number) => {
    const c = parseInt(hex.slice(at, at + 2), 16) / 255;
    return c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4;
  };
  return 0.2126 * channel(1) + 0.7152 * channel(3) + 0.0722 * channel(5);
}

function contrast(a: string, b: string): number {
  const [high, low] = [luminance(a), luminance(b)].sort((x, y) => y - x) as [number, number];
  return (high + 0.05) / (low + 0.05);
}

describe('contrast', () => {
  it('is worked out as the guidelines do', () => {
    expect(contrast('#000000', '#ffffff')).toBeCloseTo(21, 5);
    expect(contrast('#777777', '#ffffff')).toBeCloseTo(4.48, 2);
  });

  describe.each([
    ['by day', day],
    ['by night', night],
  ])('%s', (_name, palette) => {
    const of = (name: string) => palette[name] ?? '';

    it.each([
      ['ink', 'paper'],
      ['ink-2', 'paper'],
      ['turf', 'paper'],
      ['seam', 'paper'],
      ['on-turf', 'turf'],
      ['on-seam', 'seam'],
    ])('text in %s on %s has 4.5:1', (text, ground) => {
      expect(contrast(of(text), of(ground))).toBeGreaterThanOrEqual(4.5);
    });

    it.each(['ink', 'ink-2', 'turf', 'seam', 'sky', 'straw'])('a mark in %s has 3:1 on paper', (mark) => {
      expect(contrast(of(mark), of('paper'))).toBeGreaterThanOrEqual(3);
    });
  });

  it('has the same names by night as by day', () => {
    expect(Object.keys(night).sort()).toEqual(Object.keys(day).sort());
  });
});
