import { readdirSync, readFileSync } from 'node:fs';
import { gzipSync } from 'node:zlib';
import { describe, expect, it } from 'vitest';

// What is committed in dist is what people get: it must start quickly on a slow phone, stand under a content policy that
// allows no inline script or style, and have names that stay.

const index = readFileSync('dist/index.html', 'utf8');
const files = readdirSync('dist/assets');
const size = (path: string) => gzipSync(readFileSync(path), { level: 9 }).length;

describe('the built app', () => {
  it('loads at most 45 KB of script before its first screen', () => {
    const first = [...index.matchAll(/(?:src|href)="(\/assets\/[^"]+\.js)"/g)].map(([, path]) => `dist${path}`);
    expect(first.length).toBeGreaterThan(0);
    expect(first.reduce((sum, path) => sum + size(path), 0)).toBeLessThanOrEqual(45_000);
  });

  it.each(files.filter((file) => file.endsWith('.js')))('%s is at most 30 KB', (file) => {
    expect(size(`dist/assets/${file}`)).toBeLessThanOrEqual(30_000);
  });

  it('has fixed names, no source maps, and nothing inline', () => {
    expect(files.filter((file) => !/^[A-Za-z]+\.(js|css)$/.test(file))).toEqual([]);
    expect(index).not.toMatch(/<style|style=|<script(?![^>]*\bsrc=)| on[a-z]+=/);
    for (const file of files) expect(readFileSync(`dist/assets/${file}`, 'utf8')).not.toContain('sourceMappingURL');
  });

  it('asks no other origin', () => {
    const addresses = [index, ...files.map((file) => readFileSync(`dist/assets/${file}`, 'utf8'))].flatMap(
      (text) => text.match(/https?:\/\/[a-z0-9.-]+/g) ?? [],
    );
    // Names of namespaces and of error pages are not fetched.
    const known = ['http://www.w3.org', 'https://svelte.dev'];
    expect(addresses.filter((address) => !known.includes(address))).toEqual([]);
  });
});
