import type { BowlingKind } from '../api/contract';
import type { Refusal } from '../api/refusal';
import { session } from '../session/session.svelte';
import { ballsOf, countsOf, openCount, withBalls, writeOf, type Count } from './counters';
import { OutingDesk } from './outingDesk.svelte';
import { unsent } from './pending';
import type { Stored, WaitingPractice } from './unsent.svelte';
import { uuid7 } from './uuid7';

/** How long a counter rests before its count is sent: a run of taps is one sending. */
const REST_MS = 1_000;

/** How a bowler's count stands with the service. */
export type Standing = 'none' | 'saved' | 'sending' | 'not_sent' | 'refused' | 'theirs';

/** The counters of one outing at nets. */
export class NetsDesk {
  readonly desk: OutingDesk;
  readonly #kinds = $state<Record<string, BowlingKind | null>>({});
  readonly #taps = $state<Record<string, number[]>>({});
  readonly #counts = $derived.by(() => countsOf(this.desk.outing?.practice ?? [], unsent.ofOuting(this.desk.outingId)));
  #resting = $state(false);
  #timer: ReturnType<typeof setTimeout> | undefined;
  readonly #deafen: () => void;

  constructor(regionId: string, outingId: string) {
    this.desk = new OutingDesk(regionId, outingId);
    this.#deafen = unsent.listen((stored) => this.#heard(stored));
  }

  /** The kind that a bowler's taps count as now: the chosen one, else the usual one. */
  kindOf(playerId: string): BowlingKind | null {
    const chosen = this.#kinds[playerId];
    return chosen === undefined ? (this.desk.person(playerId)?.kind ?? null) : chosen;
  }

  /** Lets the next taps of a bowler count as another kind; what is counted stays with the kind it was bowled in. */
  setKind(playerId: string, kind: BowlingKind | null): void {
    this.#kinds[playerId] = kind;
    this.#taps[playerId] = [];
  }

  /** Balls of a bowler in the kind that counts now. */
  balls(playerId: string): number {
    return ballsOf(this.#counts, playerId, this.kindOf(playerId));
  }

  /** Balls of a bowler in the other kinds, kind by kind. */
  otherBalls(playerId: string): { kind: BowlingKind | null; balls: number }[] {
    const now = this.kindOf(playerId);
    const kinds = new Set(this.#counts.filter((c) => c.playerId === playerId && c.kind !== now).map((c) => c.kind));
    return [...kinds]
      .map((kind) => ({ kind, balls: ballsOf(this.#counts, playerId, kind) }))
      .filter((other) => other.balls > 0);
  }

  /** Balls of everybody at this outing. */
  get total(): number {
    return this.#counts.reduce((sum, count) => sum + count.balls, 0);
  }

  /** Counts balls on. */
  add(playerId: string, balls: number): void {
    const before = this.#open(playerId);
    const after = withBalls(before, balls);
    if (after.balls === before.balls) return;
    this.#taps[playerId] = [...(this.#taps[playerId] ?? []), after.balls - before.balls];
    this.#write(after);
  }

  /** What `takeBack` would take: the last tap, or one ball where this screen saw no tap. */
  lastTap(playerId: string): number {
    const counted = openCount(this.#counts, playerId, this.kindOf(playerId))?.balls ?? 0;
    return Math.min(this.#taps[playerId]?.at(-1) ?? 1, counted);
  }

  /** Takes the last tap of a bowler back. */
  takeBack(playerId: string): void {
    const balls = this.lastTap(playerId);
    if (balls === 0) return;
    this.#taps[playerId] = this.#taps[playerId]?.slice(0, -1) ?? [];
    this.#write(withBalls(this.#open(playerId), -balls));
  }

  /** How a bowler's counts stand. */
  standing(playerId: string): Standing {
    const waiting = this.#waitingOf(playerId);
    if (waiting.some((entry) => entry.theirs)) return 'theirs';
    if (waiting.some((entry) => entry.refusal)) return 'refused';
    if (waiting.length > 0) {
      return this.#resting || (unsent.sending && waiting.every((e) => e.unanswered.length < 2))
        ? 'sending'
        : 'not_sent';
    }
    return this.#counts.some((count) => count.playerId === playerId) ? 'saved' : 'none';
  }

  /** The entry of a bowler that needs a word: refused, or changed by somebody else. */
  troubled(playerId: string): WaitingPractice | undefined {
    return this.#waitingOf(playerId).find((entry) => entry.theirs !== null || entry.refusal !== null);
  }

  /** Settles a count that two adults changed, and asks what the service holds now. */
  async settle(id: string, ours: boolean): Promise<void> {
    unsent.settle(id, ours);
    if (ours) return;
    try {
      await this.desk.reloadOuting();
    } catch (fault) {
      this.desk.trouble = fault as Refusal;
    }
  }

  /** Drops a count that the service will not take; what it holds is shown again. */
  discard(id: string): void {
    unsent.drop(id);
  }

  /** Sends what rests, at once. */
  send(): void {
    clearTimeout(this.#timer);
    this.#resting = false;
    void unsent.flush();
  }

  /** Sends what rests and stops listening: the screen is being left. */
  leave(): void {
    this.send();
    // The answers still come to the list of unsent taps; only this screen no longer needs them.
    this.#deafen();
  }

  #waitingOf(playerId: string): WaitingPractice[] {
    return unsent
      .ofOuting(this.desk.outingId)
      .filter((entry) => entry.what === 'practice' && entry.body.playerId === playerId) as WaitingPractice[];
  }

  #open(playerId: string): Count {
    const kind = this.kindOf(playerId);
    return (
      openCount(this.#counts, playerId, kind) ?? {
        id: uuid7(),
        playerId,
        kind,
        balls: 0,
        version: 0,
        overs: null,
        effort: null,
        open: true,
      }
    );
  }

  #write(count: Count): void {
    const { regionId, outingId } = this.desk;
    unsent.put({ what: 'practice', id: count.id, regionId, outingId, body: writeOf(count) });
    clearTimeout(this.#timer);
    this.#resting = true;
    this.#timer = setTimeout(() => this.send(), REST_MS);
  }

  #heard(stored: Stored): void {
    const { outing, outingId } = this.desk;
    if (stored.outingId !== outingId || !stored.practice || !outing) return;
    const practice = outing.practice.filter((entry) => entry.id !== stored.id);
    this.desk.outing = { ...outing, practice: [...practice, stored.practice] };
    this.desk.allowances = stored.allowances;
  }
}

/** The nets of an outing in the region of the hat that is worn. */
export function netsDesk(outingId: string): NetsDesk {
  return new NetsDesk(session.region?.id ?? '', outingId);
}
