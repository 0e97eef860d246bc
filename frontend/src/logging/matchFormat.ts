import { BALLS_IN_OVER, type BallsInOver, type MatchFormat } from '../api/contract';
import { isRecord } from './drafts';

/** The format as it is typed: whole numbers, or empty for none. */
export interface TypedFormat {
  oversASide: string;
  bowlerCap: string;
  ballsInOver: BallsInOver;
}

/** Where to start from before a coach has chosen: time cricket, and an over as in the Laws. Nothing is assumed. */
export const PLAIN_FORMAT: TypedFormat = { oversASide: '', bowlerCap: '', ballsInOver: 'six_valid' };

/** The contract takes at most this many overs a side, and a bowler. */
export const MOST_OVERS = 100;

/** A whole number of overs, null for none, undefined where it is neither. */
export function readOvers(text: string): number | null | undefined {
  const trimmed = text.trim();
  if (trimmed === '') return null;
  if (!/^\d{1,3}$/.test(trimmed)) return undefined;
  const overs = Number(trimmed);
  return overs >= 1 && overs <= MOST_OVERS ? overs : undefined;
}

/** The typed format as the contract has it; null where a number in it is none. */
export function readFormat(typed: TypedFormat): MatchFormat | null {
  const oversASide = readOvers(typed.oversASide);
  const bowlerCap = readOvers(typed.bowlerCap);
  if (oversASide === undefined || bowlerCap === undefined) return null;
  return { oversASide, bowlerCap, ballsInOver: typed.ballsInOver };
}

const KEY = 'longspell.format';

/** The format that was used last on this phone: offered again, since a squad mostly plays one. It names nobody. */
export function lastFormat(): TypedFormat {
  try {
    const value: unknown = JSON.parse(localStorage.getItem(KEY) ?? 'null');
    if (!isRecord(value)) return { ...PLAIN_FORMAT };
    const { oversASide, bowlerCap, ballsInOver } = value;
    const known = BALLS_IN_OVER.find((way) => way === ballsInOver);
    if (typeof oversASide !== 'string' || typeof bowlerCap !== 'string' || !known) return { ...PLAIN_FORMAT };
    return { oversASide, bowlerCap, ballsInOver: known };
  } catch {
    return { ...PLAIN_FORMAT };
  }
}

/** Remembers the format for the next match. */
export function rememberFormat(typed: TypedFormat): void {
  try {
    localStorage.setItem(KEY, JSON.stringify(typed));
  } catch {
    return;
  }
}
