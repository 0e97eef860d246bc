import { svelte } from '@sveltejs/vite-plugin-svelte';
import { defineConfig } from 'vitest/config';
import { practiceService } from './dev/practiceService.ts';

/**
 * Names in dist are fixed (no hashes, no source maps), so that a committed build changes only where the screens changed
 * and two branches that touch different screens merge. The service answers with strong entity tags instead.
 */
export default defineConfig(({ mode }) => ({
  plugins: [svelte(), ...(mode === 'practice' ? [practiceService()] : [])],
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
      },
    },
  },
  server: {
    proxy: mode === 'practice' ? {} : { '/api': process.env.LONGSPELL_ADDRESS ?? 'http://127.0.0.1:8080' },
  },
  // Svelte's browser build must be taken in tests too: the components are mounted in a document.
  resolve: process.env.VITEST ? { conditions: ['browser'] } : {},
  test: {
    environment: 'happy-dom',
    include: ['src/**/*.test.ts'],
    restoreMocks: true,
  },
}));
