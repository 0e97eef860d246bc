import type { AllowanceList, Over, OverWrite, Practice, PracticeWrite } from '../api/contract';
import { Refusal } from '../api/refusal';
import { dropDraft, isRecord, keepDraft, readDraft } from './drafts';

interface Entry<What extends string, Body> {
  readonly what: What;
  readonly id: string;
  readonly regionId: string;
  readonly outingId: string;
  body: Body;
  /** Bodies that were sent and whose answer never came: the service may hold any of them. */
  unanswered: Body[];
  /** Why the service will not take it; it stays in the list until the person has seen to it. */
  refusal: { readonly code: string; readonly detail: string } | null;
  /** Somebody else changed it in the meantime: what the service holds now. */
  theirs: Held | null;
}

export type WaitingOver = Entry<'over', OverWrite>;
export type WaitingPractice = Entry<'practice', PracticeWrite>;

/** Something tapped that the service has not yet confirmed. */
export type Waiting = WaitingOver | WaitingPractice;

type Given = 'what' | 'id' | 'regionId' | 'outingId' | 'body';

/** An entry as a screen gives it. */
export type Tapped = Pick<WaitingOver, Given> | Pick<WaitingPractice, Given>;

/** What the service holds under an id, reduced to what can differ. */
export interface Held {
  readonly version: number;
  readonly balls: number;
  readonly valid: number | null;
  readonly playerId: string;
  readonly kind: OverWrite['kind'];
}

/** The service's answer to what was sent. */
export interface Stored {
  readonly what: Waiting['what'];
  readonly id: string;
  readonly outingId: string;
  readonly version: number;
  readonly over?: Over;
  readonly practice?: Practice;
  readonly allowances: AllowanceList;
}

/** How the list reaches the service. */
export interface Carrier {
  send(waiting: Waiting): Promise<Stored>;
  /** What the service holds under the id of the entry; null where nothing. */
  lookUp(waiting: Waiting): Promise<Held | null>;
}

const KEY = 'unsent';
const FIRST_RETRY_MS = 4_000;
const LAST_RETRY_MS = 60_000;

/**
 * The list of what was tapped and is not yet confirmed. It sends in order, one thing at a time. A lost link keeps the
 * list; a refusal stays beside its entry with its reason and never blocks the rest; every entry has an id of its own
 * making, so that sending it twice stores it once.
 */
export class Unsent {
  list = $state<Waiting[]>([]);
  sending = $state(false);
  #accountId = '';
  #flush: Promise<void> | null = null;
  #retry: ReturnType<typeof setTimeout> | undefined;
  #pause = FIRST_RETRY_MS;
  readonly #carrier: Carrier;
  readonly #stored = new Map<string, number>();
  readonly #listeners = new Set<(stored: Stored) => void>();

  constructor(carrier: Carrier) {
    this.#carrier = carrier;
  }

  /** Takes up the list that this account left in this tab. */
  open(accountId: string): void {
    if (this.#accountId !== accountId) {
      this.#accountId = accountId;
      this.list = readDraft(accountId, KEY, isWaitingList) ?? [];
    }
    if (this.list.length > 0) void this.flush();
  }

  /** Calls back for everything that the service has stored; gives back what ends that. */
  listen(heard: (stored: Stored) => void): () => void {
    this.#listeners.add(heard);
    return () => this.#listeners.delete(heard);
  }

  /** The entry of an id, if it waits. */
  of(id: string): Waiting | undefined {
    return this.list.find((waiting) => waiting.id === id);
  }

  /** What waits of one outing, in the order of tapping. */
  ofOuting(outingId: string): Waiting[] {
    return this.list.filter((waiting) => waiting.outingId === outingId);
  }

  /** The version that our own last sending made of an entry, where that is newer than the one a screen knows. */
  versionOf(id: string, known: number): number {
    return Math.max(known, this.#stored.get(id) ?? 0);
  }

  /** Whether something of an outing is on its way; what was refused waits for a person, not for the link. */
  underWay(outingId: string): boolean {
    return this.ofOuting(outingId).some((waiting) => !waiting.refusal && !waiting.theirs);
  }

  /** Adds an entry, or changes the body of the one that waits under its id. Nothing is sent before `flush`. */
  put(entry: Tapped): void {
    const there = this.of(entry.id);
    if (there) {
      // The version is the list's to know: it has heard answers that the screen may not have.
      there.body = { ...entry.body, version: Math.max(entry.body.version, there.body.version) } as never;
      there.refusal = null;
    } else {
      const body = { ...entry.body, version: this.versionOf(entry.id, entry.body.version) };
      this.list.push({ ...entry, body, unanswered: [], refusal: null, theirs: null } as Waiting);
    }
    this.#keep();
  }

  /** Takes an entry out of the list unsent. */
  drop(id: string): void {
    this.list = this.list.filter((waiting) => waiting.id !== id);
    this.#keep();
  }

  /** Settles a change made by two: ours is sent over theirs, or theirs stays. */
  settle(id: string, ours: boolean): void {
    const waiting = this.of(id);
    if (!waiting?.theirs) return;
    if (!ours) {
      this.drop(id);
      return;
    }
    waiting.body.version = waiting.theirs.version;
    waiting.theirs = null;
    waiting.unanswered = [];
    this.#keep();
    void this.flush();
  }

  /** Sends all that can be sent. Calls that come meanwhile share the same run. */
  flush(): Promise<void> {
    clearTimeout(this.#retry);
    this.#flush ??= this.#sendAll().finally(() => {
      this.#flush = null;
      this.sending = false;
    });
    return this.#flush;
  }

  /** Forgets the list: the person signed out knowing what waits. */
  clear(): void {
    clearTimeout(this.#retry);
    this.list = [];
    this.#stored.clear();
    dropDraft(this.#accountId, KEY);
    this.#accountId = '';
  }

  async #sendAll(): Promise<void> {
    this.sending = true;
    const next = () => this.list.find((waiting) => !waiting.refusal && !waiting.theirs);
    for (let waiting = next(); waiting; waiting = next()) {
      if (!(await this.#sendOne(waiting))) return;
    }
    this.#pause = FIRST_RETRY_MS;
  }

  // False where sending on makes no sense now.
  async #sendOne(waiting: Waiting): Promise<boolean> {
    const body = $state.snapshot(waiting.body) as OverWrite & PracticeWrite;
    waiting.unanswered = [...waiting.unanswered, body].slice(-8) as never;
    this.#keep();
    try {
      const stored = await this.#carrier.send({ ...waiting, body } as Waiting);
      this.#confirm(waiting.id, body, stored);
      return true;
    } catch (fault) {
      if (!(fault instanceof Refusal)) throw fault;
      if (fault.passing) return this.#later();
      if (fault.status === 401) return false;
      if (fault.status === 409) return this.#conflict(waiting.id, fault);
      this.#refuse(waiting.id, fault);
      return true;
    }
  }

  #confirm(id: string, sent: Waiting['body'], stored: Stored): void {
    this.#stored.set(id, stored.version);
    const waiting = this.of(id);
    if (waiting) {
      if (same(waiting.body, sent)) this.list = this.list.filter((other) => other.id !== id);
      else {
        waiting.body.version = stored.version;
        waiting.unanswered = [];
      }
      this.#keep();
    }
    for (const heard of this.#listeners) heard(stored);
  }

  async #conflict(id: string, fault: Refusal): Promise<boolean> {
    const waiting = this.of(id);
    if (!waiting) return true;
    let held: Held | null;
    try {
      held = await this.#carrier.lookUp(waiting);
    } catch (second) {
      if (second instanceof Refusal && second.passing) return this.#later();
      held = null;
    }
    if (held === null || held.version === waiting.body.version) {
      // No change by another: the service has some other reason, and says it.
      this.#refuse(id, fault);
    } else if (waiting.unanswered.some((body) => sameAsHeld(body, held))) {
      // Our own earlier sending arrived and only its answer was lost.
      waiting.body.version = held.version;
      waiting.unanswered = [];
    } else {
      waiting.theirs = held;
    }
    this.#keep();
    return true;
  }

  #refuse(id: string, fault: Refusal): void {
    const waiting = this.of(id);
    if (waiting) {
      const fields = fault.fields.map((field) => field.detail).join(' ');
      waiting.refusal = { code: fault.code, detail: [fault.detail || fault.title, fields].filter(Boolean).join(' ') };
      waiting.unanswered = [];
    }
    this.#keep();
  }

  #later(): false {
    this.#retry = setTimeout(() => void this.flush(), this.#pause);
    this.#pause = Math.min(this.#pause * 2, LAST_RETRY_MS);
    return false;
  }

  #keep(): void {
    if (this.#accountId === '') return;
    if (this.list.length === 0) dropDraft(this.#accountId, KEY);
    else keepDraft(this.#accountId, KEY, $state.snapshot(this.list));
  }
}

function same(a: unknown, b: unknown): boolean {
  return JSON.stringify(a) === JSON.stringify(b);
}

function sameAsHeld(body: OverWrite | PracticeWrite, held: Held): boolean {
  if (body.playerId !== held.playerId || body.balls !== held.balls) return false;
  if ((body.kind ?? null) !== (held.kind ?? null)) return false;
  return !('valid' in body) || held.valid === null || body.valid === held.valid;
}

function isWaitingList(value: unknown): value is Waiting[] {
  return (
    Array.isArray(value) &&
    value.every(
      (item) =>
        isRecord(item) &&
        (item.what === 'over' || item.what === 'practice') &&
        typeof item.id === 'string' &&
        typeof item.regionId === 'string' &&
        typeof item.outingId === 'string' &&
        isRecord(item.body) &&
        Array.isArray(item.unanswered),
    )
  );
}
