import type { BowlingKind, End, NextOver, Over } from '../api/contract';
import type { Waiting, WaitingOver } from './unsent.svelte';

/** One bowler's share of an over: usually all of it. */
export interface BookPart {
  readonly id: string;
  readonly playerId: string;
  readonly kind: BowlingKind | null;
  readonly balls: number;
  readonly valid: number;
  readonly breakMin: number;
  readonly date: string;
  readonly version: number;
  /** The entry that waits for this share, where there is one. */
  readonly waiting: WaitingOver | null;
}

/** One over of the match as the book shows it. */
export interface BookOver {
  readonly innings: number;
  readonly over: number;
  readonly end: End;
  readonly parts: readonly BookPart[];
}

/** Odd overs from A, even ones from B: how the contract reads an over whose end was not noted. */
export function endByParity(over: number): End {
  return over % 2 === 1 ? 'A' : 'B';
}

/** The end that the next over comes from. */
export function otherEnd(end: End): End {
  return end === 'A' ? 'B' : 'A';
}

/** The overs that the service holds with those that wait laid over them, the latest first. */
export function bookOf(overs: readonly Over[], waiting: readonly Waiting[]): BookOver[] {
  const waitingOvers = waiting.filter((entry) => entry.what === 'over');
  const shares = new Map<string, { innings: number; over: number; end: End; part: BookPart }>();
  for (const over of overs) {
    shares.set(over.id, { ...over, part: { ...over, waiting: null } });
  }
  for (const entry of waitingOvers) {
    const { body } = entry;
    const kind = body.kind ?? null;
    shares.set(entry.id, {
      innings: body.innings,
      over: body.over,
      end: body.end ?? endByParity(body.over),
      part: { ...body, kind, id: entry.id, waiting: entry },
    });
  }
  const rows = new Map<string, BookOver & { parts: BookPart[] }>();
  for (const { innings, over, end, part } of shares.values()) {
    const key = `${innings}/${over}`;
    const row = rows.get(key) ?? { innings, over, end, parts: [] };
    row.parts.push(part);
    rows.set(key, row);
  }
  for (const row of rows.values()) row.parts.sort((a, b) => (a.id < b.id ? -1 : 1));
  return [...rows.values()].sort((a, b) => b.innings - a.innings || b.over - a.over);
}

/** Who bowled the over before, or a part of it. */
export function bowledBefore(book: readonly BookOver[], innings: number, over: number): ReadonlySet<string> {
  const before = book.find((row) => row.innings === innings && row.over === over - 1);
  return new Set(before?.parts.map((part) => part.playerId));
}

/** Who has already bowled in this very over. */
export function bowledIn(book: readonly BookOver[], innings: number, over: number): ReadonlySet<string> {
  const row = book.find((other) => other.innings === innings && other.over === over);
  return new Set(row?.parts.map((part) => part.playerId));
}

/** The over after the last one in the book; the first over from end A where the book is empty. */
export function placeAfter(book: readonly BookOver[]): NextOver {
  const last = book[0];
  if (last === undefined) return { innings: 1, over: 1, end: 'A' };
  return { innings: last.innings, over: last.over + 1, end: otherEnd(last.end) };
}

/** The overs of an innings that a bowler bowled or took part in, in order: what the spell mark draws. */
export function oversOf(book: readonly BookOver[], innings: number, playerId: string): number[] {
  return book
    .filter((row) => row.innings === innings && row.parts.some((part) => part.playerId === playerId))
    .map((row) => row.over)
    .sort((a, b) => a - b);
}

/** The bowler who bowled last from an end in an innings: the one most likely to go on. */
export function lastFrom(book: readonly BookOver[], innings: number, end: End, before: number): string | null {
  const row = book.find((other) => other.innings === innings && other.end === end && other.over < before);
  return row?.parts.at(-1)?.playerId ?? null;
}
