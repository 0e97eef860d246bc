import { svelte } from '@sveltejs/vite-plugin-svelte';
import { svelteTesting } from '@testing-library/svelte/vite';
import { defineConfig } from 'vitest/config';
import { standIn } from './dev/standIn.ts';

/** What screens share keeps files of its own, so that a change of one screen leaves those as they are. */
const SHARED = [
  { name: 'framework', test: /\/node_modules\//, priority: 4 },
  {
    name: 'shared',
    test: /\/src\/(api|session|routing|wording|messages|parts|logging\/(unsent|carrier|pending|drafts))/,
    priority: 3,
  },
  { name: 'marks', test: /\/src\/marks\//, priority: 2 },
  { name: 'outing', test: /\/src\/(logging|outing)\//, priority: 1 },
];

/**
 * Names in dist are fixed (no hashes, no source maps), so that a committed build changes only where the screens changed
 * and two branches that touch different screens merge. The service answers with strong entity tags instead.
 */
export default defineConfig(({ mode }) => ({
  plugins: [
    svelte(),
    // Takes Svelte's browser build and unmounts what a test has mounted.
    ...(process.env.VITEST ? [svelteTesting()] : []),
    ...(mode === 'stand-in' ? [standIn()] : []),
  ],
  build: {
    target: 'es2022',
    sourcemap: false,
    modulePreload: { polyfill: false },
    assetsInlineLimit: 0,
    rollupOptions: {
      output: {
        entryFileNames: 'assets/[name].js',
        chunkFileNames: 'assets/[name].js',
        assetFileNames: 'assets/[name][extname]',
        codeSplitting: { groups: SHARED, includeDependenciesRecursively: false },
      },
    },
  },
  server: {
    proxy: mode === 'stand-in' ? {} : { '/api': process.env.LONGSPELL_ADDRESS ?? 'http://127.0.0.1:8080' },
  },
  test: {
    environment: 'happy-dom',
    include: ['src/**/*.test.ts'],
    restoreMocks: true,
  },
}));
