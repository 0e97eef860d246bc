import type { Allowance, BowlingKind, End, Finding, SetAllowance } from '../api/contract';

/** The first over from an end that a set allows a bowler, where that is later than the over asked about. */
export function waitsUntil(set: SetAllowance, end: End, over: number): number | null {
  const earliest = end === 'A' ? set.earliestEndA : set.earliestEndB;
  return earliest !== null && earliest > over ? earliest : null;
}

/** What one more over of a kind would break. A kind that is not known is judged as the usual one. */
export function wouldBreak(allowance: Allowance | undefined, kind: BowlingKind | null): readonly Finding[] {
  const asked = kind ?? allowance?.kind ?? null;
  return allowance?.next.find((check) => check.kind === asked)?.breaks ?? [];
}

/** The sets that any of the bowlers is measured against, each once, in the order of the answer. */
export function setsOf(bowlers: readonly Allowance[]): SetAllowance[] {
  const seen = new Map<string, SetAllowance>();
  for (const bowler of bowlers) {
    for (const set of bowler.sets) if (!seen.has(set.limitSet)) seen.set(set.limitSet, set);
  }
  return [...seen.values()];
}
