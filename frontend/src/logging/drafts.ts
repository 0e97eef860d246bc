/**
 * What was tapped and is not yet with the service, kept in the tab's own storage so that a reload, a crash of the tab or
 * an ended sign-in does not lose it. Ids and counts only: never a name, since phones are lent and shared.
 */

const PREFIX = 'longspell.draft';

function place(accountId: string, key: string): string {
  return `${PREFIX}.${accountId}.${key}`;
}

/** Writes a draft of this account. A full or forbidden storage is no error: the taps are still in memory. */
export function keepDraft(accountId: string, key: string, value: unknown): void {
  try {
    sessionStorage.setItem(place(accountId, key), JSON.stringify(value));
  } catch {
    return;
  }
}

/** Reads a draft of this account; null where there is none or `fits` does not know its shape. */
export function readDraft<T>(accountId: string, key: string, fits: (value: unknown) => value is T): T | null {
  try {
    const text = sessionStorage.getItem(place(accountId, key));
    if (text === null) return null;
    const value: unknown = JSON.parse(text);
    return fits(value) ? value : null;
  } catch {
    return null;
  }
}

/** Forgets a draft. */
export function dropDraft(accountId: string, key: string): void {
  try {
    sessionStorage.removeItem(place(accountId, key));
  } catch {
    return;
  }
}

/** Forgets every draft of every account: the person signed out on purpose. */
export function dropAllDrafts(): void {
  const keys = Array.from({ length: sessionStorage.length }, (_, i) => sessionStorage.key(i));
  for (const key of keys) if (key?.startsWith(PREFIX)) sessionStorage.removeItem(key);
}

/** True for an object that is neither null nor an array: the first question of every `fits`. */
export function isRecord(value: unknown): value is Record<string, unknown> {
  return typeof value === 'object' && value !== null && !Array.isArray(value);
}
