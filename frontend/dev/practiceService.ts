import type { Plugin } from 'vite';

export function practiceService(): Plugin {
  return { name: 'longspell-practice-service' };
}
