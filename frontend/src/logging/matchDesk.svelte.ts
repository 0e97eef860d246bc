import { answer } from '../api/client';
import type { Allowance, BallsInOver, BowlingKind, End, Finding, OverWrite } from '../api/contract';
import type { Refusal } from '../api/refusal';
import { session } from '../session/session.svelte';
import { wouldBreak } from './allowed';
import { dropDraft, isRecord, keepDraft, readDraft } from './drafts';
import { bookOf, bowledBefore, bowledIn, lastFrom, oversOf, placeAfter, type BookPart } from './matchBook';
import { OutingDesk, type OverPlace } from './outingDesk.svelte';
import { ballsOf, bowl, newOver, undo, validOf, type Begun, type OverEntry, type Tap } from './overEntry';
import { unsent } from './pending';
import type { Stored } from './unsent.svelte';
import { uuid7 } from './uuid7';

/** An over that is being bowled. */
export interface Pad {
  readonly overId: string;
  readonly playerId: string;
  readonly kind: BowlingKind | null;
  readonly entry: OverEntry;
  /** The coach has confirmed going past a limit with this bowler and kind. */
  readonly confirmed: boolean;
}

/** Why a bowler cannot be chosen for an over; null where the choice is free. */
export type Barred = 'bowled_last_over' | 'began_this_over' | null;

/** A choice that would go past a limit, waiting for the confirming tap. */
export interface Asking {
  readonly playerId: string;
  readonly kind: BowlingKind | null;
  readonly breaks: readonly Finding[];
}

interface Draft extends Pad, OverPlace {
  readonly date: string;
  readonly breakMin: number;
}

/** A match over by over: where it stands, who may bowl, and the over in hand. */
export class MatchDesk {
  readonly desk: OutingDesk;
  place = $state.raw<OverPlace>({ innings: 1, over: 1, end: 'A' });
  date = $state('');
  breakMin = $state(0);
  pad = $state.raw<Pad | null>(null);
  asking = $state.raw<Asking | null>(null);
  /** True while what is left is older than what is logged. */
  stale = $state(false);
  readonly book = $derived.by(() => bookOf(this.desk.outing?.overs ?? [], unsent.ofOuting(this.desk.outingId)));
  readonly #deafen: () => void;

  constructor(regionId: string, outingId: string) {
    this.desk = new OutingDesk(regionId, outingId);
    this.#deafen = unsent.listen((stored) => void this.#heard(stored));
  }

  get format(): BallsInOver {
    return this.desk.outing?.format?.ballsInOver ?? 'six_valid';
  }

  get #draftKey(): string {
    return `over.${this.desk.outingId}`;
  }

  /** Loads the match and takes up an over that was left half bowled. */
  async load(): Promise<void> {
    await this.desk.load();
    const { outing, allowances } = this.desk;
    if (!outing) return;
    this.date = this.book[0]?.parts[0]?.date ?? outing.date;
    const draft = readDraft(session.me?.accountId ?? '', this.#draftKey, isDraft);
    if (draft) {
      const { innings, over, end, date, breakMin, ...pad } = draft;
      this.place = { innings, over, end };
      this.date = date;
      this.breakMin = breakMin;
      this.pad = pad;
    } else {
      const waits = unsent.ofOuting(outing.id).length > 0;
      this.place = waits ? placeAfter(this.book) : (allowances?.nextOver ?? placeAfter(this.book));
    }
    if (!samePlace(this.place, allowances?.nextOver)) await this.#refreshLeft();
  }

  /** Those who may be asked to bowl, the one who goes on from this end first. */
  get bowlers(): { allowance: Allowance | undefined; id: string; name: string; kind: BowlingKind | null }[] {
    const first = lastFrom(this.book, this.place.innings, this.place.end, this.place.over);
    const left = new Map(this.desk.allowances?.bowlers.map((bowler) => [bowler.playerId, bowler]));
    return [...this.desk.here]
      .map((person) => ({ ...person, allowance: left.get(person.id) }))
      .sort((a, b) => Number(b.id === first) - Number(a.id === first));
  }

  allowance(playerId: string): Allowance | undefined {
    return this.desk.allowances?.bowlers.find((bowler) => bowler.playerId === playerId);
  }

  /** Whether the Laws let a bowler take this over: not two running, nor a second share of one (Law 17, from memory). */
  barred(playerId: string): Barred {
    const { innings, over } = this.place;
    if (bowledIn(this.book, innings, over).has(playerId)) return 'began_this_over';
    const before = bowledBefore(this.book, innings, over);
    const said = !this.stale && this.#leftIsForThisPlace() && this.allowance(playerId)?.bowledLastOver === true;
    return before.has(playerId) || said ? 'bowled_last_over' : null;
  }

  /** The overs of this innings that a bowler has had. */
  oversOf(playerId: string): number[] {
    return oversOf(this.book, this.place.innings, playerId);
  }

  /** Goes to another over and asks what is left before it. */
  async goTo(place: OverPlace): Promise<void> {
    this.place = place;
    if (this.pad) this.pad = { ...this.pad, entry: { ...this.pad.entry, begun: this.begun } };
    this.#keepDraft();
    await this.#refreshLeft();
  }

  /** What of this over is already bowled, by others. */
  get begun(): Begun {
    const row = this.book.find((other) => other.innings === this.place.innings && other.over === this.place.over);
    const parts = row?.parts.filter((part) => part.id !== this.pad?.overId) ?? [];
    return parts.reduce<Begun>((sum, part) => ({ balls: sum.balls + part.balls, valid: sum.valid + part.valid }), {
      balls: 0,
      valid: 0,
    });
  }

  /** Chooses the bowler, or another kind for the one who bowls. Past a limit, asks first. */
  choose(playerId: string, kind = this.desk.person(playerId)?.kind ?? null): void {
    const breaks = wouldBreak(this.allowance(playerId), kind);
    if (breaks.length > 0) this.asking = { playerId, kind, breaks };
    else this.#take(playerId, kind, false);
  }

  /** The confirming tap. */
  confirm(): void {
    const asking = this.asking;
    this.asking = null;
    if (asking) this.#take(asking.playerId, asking.kind, true);
  }

  /** Leaves the bowler again; nothing has been bowled. */
  putDown(): void {
    this.pad = null;
    this.#keepDraft();
  }

  tap(tap: Tap): void {
    this.#change((entry) => bowl(entry, tap));
  }

  undo(): void {
    this.#change(undo);
  }

  /** Ends the over, or the bowler's share of it where another one finishes it. */
  endOver(shared: boolean): void {
    const pad = this.pad;
    if (!pad || ballsOf(pad.entry) === 0) return;
    const body: OverWrite = {
      date: this.date,
      ...this.place,
      playerId: pad.playerId,
      kind: pad.kind,
      balls: ballsOf(pad.entry),
      valid: validOf(pad.entry),
      breakMin: this.breakMin,
      version: 0,
      pastLimitConfirmed: pad.confirmed,
    };
    this.#put(pad.overId, body);
    this.pad = null;
    this.breakMin = 0;
    if (!shared) this.place = placeAfter(this.book);
    this.#keepDraft();
    this.#send();
  }

  /** Sends a logged over again as it should have been. */
  correct(part: BookPart, body: OverWrite): void {
    this.#put(part.id, body);
    this.#send();
  }

  /** Takes an over back; the service keeps it as a correction. Throws the Refusal. */
  async takeBack(part: BookPart): Promise<void> {
    if (part.waiting && part.version === 0 && part.waiting.unanswered.length === 0) {
      unsent.drop(part.id);
    } else {
      // What is on its way arrives first: it is that which is taken back.
      if (part.waiting && unsent.underWay(this.desk.outingId)) await unsent.flush();
      const path = { regionId: this.desk.regionId, outingId: this.desk.outingId, overId: part.id };
      const version = unsent.versionOf(part.id, part.version);
      await answer(
        session.service.DELETE('/regions/{regionId}/outings/{outingId}/overs/{overId}', {
          params: { path, query: { version } },
        }),
      );
      unsent.drop(part.id);
      await this.desk.reloadOuting();
    }
    if (!this.pad) this.place = placeAfter(this.book);
    await this.#refreshLeft();
  }

  /** Settles an over that two adults changed. */
  async settle(part: BookPart, ours: boolean): Promise<void> {
    unsent.settle(part.id, ours);
    if (ours) return;
    await this.desk.reloadOuting();
    await this.#refreshLeft();
  }

  leave(): void {
    void unsent.flush();
    this.#deafen();
  }

  #take(playerId: string, kind: BowlingKind | null, confirmed: boolean): void {
    const same = this.pad?.playerId === playerId ? this.pad : null;
    this.pad = {
      overId: same?.overId ?? uuid7(),
      playerId,
      kind,
      entry: same?.entry ?? newOver(this.format, this.begun),
      confirmed: confirmed || (same?.confirmed ?? false),
    };
    this.#keepDraft();
  }

  #change(step: (entry: OverEntry) => OverEntry): void {
    if (!this.pad) return;
    this.pad = { ...this.pad, entry: step(this.pad.entry) };
    this.#keepDraft();
  }

  #put(id: string, body: OverWrite): void {
    const { regionId, outingId } = this.desk;
    unsent.put({ what: 'over', id, regionId, outingId, body });
  }

  #send(): void {
    this.stale = true;
    void unsent.flush();
  }

  #keepDraft(): void {
    const account = session.me?.accountId ?? '';
    const { pad } = this;
    if (!pad) dropDraft(account, this.#draftKey);
    else keepDraft(account, this.#draftKey, { ...pad, ...this.place, date: this.date, breakMin: this.breakMin });
  }

  #leftIsForThisPlace(): boolean {
    return samePlace(this.place, this.desk.allowances?.nextOver);
  }

  async #refreshLeft(): Promise<void> {
    try {
      await this.desk.reloadAllowances(this.place);
      this.stale = unsent.underWay(this.desk.outingId);
    } catch (fault) {
      this.stale = true;
      const refusal = fault as Refusal;
      if (!refusal.passing) this.desk.trouble = refusal;
    }
  }

  async #heard(stored: Stored): Promise<void> {
    const { outing } = this.desk;
    if (stored.outingId !== this.desk.outingId || !stored.over || !outing) return;
    const overs = outing.overs.filter((over) => over.id !== stored.id);
    this.desk.outing = { ...outing, overs: [...overs, stored.over] };
    if (unsent.underWay(outing.id)) return;
    if (!samePlace(this.place, stored.allowances.nextOver)) return this.#refreshLeft();
    this.desk.allowances = stored.allowances;
    this.stale = false;
  }
}

/** The match of an outing in the region of the hat that is worn. */
export function matchDesk(outingId: string): MatchDesk {
  return new MatchDesk(session.region?.id ?? '', outingId);
}

function samePlace(a: OverPlace, b: OverPlace | null | undefined): boolean {
  return !!b && a.innings === b.innings && a.over === b.over && a.end === b.end;
}

function isDraft(value: unknown): value is Draft {
  if (!isRecord(value) || !isRecord(value.entry)) return false;
  const end: unknown = value.end satisfies unknown as End;
  return (
    typeof value.overId === 'string' &&
    typeof value.playerId === 'string' &&
    typeof value.innings === 'number' &&
    typeof value.over === 'number' &&
    (end === 'A' || end === 'B') &&
    typeof value.date === 'string' &&
    typeof value.breakMin === 'number' &&
    Array.isArray(value.entry.taps)
  );
}
