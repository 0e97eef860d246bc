import { answer, everyItem } from '../api/client';
import type { AllowanceList, Attendance, BowlingKind, End, Outing, OutingWrite, Player } from '../api/contract';
import type { Refusal } from '../api/refusal';
import { session } from '../session/session.svelte';

/** A player as the outing's pages need one. */
export interface Person {
  readonly id: string;
  readonly name: string;
  readonly kind: BowlingKind | null;
}

/** The over that allowances are asked for. */
export interface OverPlace {
  readonly innings: number;
  readonly over: number;
  readonly end: End;
}

/** One outing with its people and what is left for each of them: what nets and match have in common. */
export class OutingDesk {
  outing = $state.raw<Outing | null>(null);
  people = $state.raw<readonly Person[]>([]);
  allowances = $state.raw<AllowanceList | null>(null);
  trouble = $state.raw<Refusal | null>(null);
  readonly regionId: string;
  readonly outingId: string;

  constructor(regionId: string, outingId: string) {
    this.regionId = regionId;
    this.outingId = outingId;
  }

  /** Those who are here, by name. */
  get here(): readonly Person[] {
    const present = new Set(this.outing?.attendance.filter((a) => a.present === 'yes').map((a) => a.playerId));
    return this.people.filter((person) => present.has(person.id));
  }

  /** A person of the outing by id. */
  person(id: string): Person | undefined {
    return this.people.find((person) => person.id === id);
  }

  /** Loads all of it; a refusal is kept in `trouble`. */
  async load(): Promise<void> {
    this.trouble = null;
    try {
      const [outing, allowances] = await Promise.all([this.#fetchOuting(), this.#fetchAllowances()]);
      this.people = await this.#fetchPeople(outing, allowances);
      this.allowances = allowances;
      this.outing = outing;
    } catch (fault) {
      this.trouble = fault as Refusal;
    }
  }

  /** Asks again for the outing alone: what another adult logged in the meantime comes along. */
  async reloadOuting(): Promise<void> {
    this.outing = await this.#fetchOuting();
  }

  /** Asks again for what is left, before the given over or the service's own next one. */
  async reloadAllowances(place?: OverPlace): Promise<void> {
    this.allowances = await this.#fetchAllowances(place);
  }

  /** Notes who is here; throws the Refusal. */
  async saveHere(present: ReadonlySet<string>): Promise<void> {
    const outing = this.outing;
    if (!outing) return;
    const ids = new Set([...this.people.map((person) => person.id), ...outing.attendance.map((a) => a.playerId)]);
    const attendance = [...ids].map((playerId): Attendance => {
      const before = outing.attendance.find((a) => a.playerId === playerId);
      const away = before?.present === 'excused' ? 'excused' : 'no';
      return { playerId, present: present.has(playerId) ? 'yes' : away };
    });
    const body = { ...writable(outing), state: 'held' as const, attendance };
    const path = { regionId: this.regionId, outingId: this.outingId };
    const got = await answer(session.service.PUT('/regions/{regionId}/outings/{outingId}', { params: { path }, body }));
    this.outing = got.outing;
    this.allowances = got.allowances;
  }

  #fetchOuting(): Promise<Outing> {
    const path = { regionId: this.regionId, outingId: this.outingId };
    return answer(session.service.GET('/regions/{regionId}/outings/{outingId}', { params: { path } }));
  }

  #fetchAllowances(place?: OverPlace): Promise<AllowanceList> {
    const path = { regionId: this.regionId, outingId: this.outingId };
    return answer(
      session.service.GET('/regions/{regionId}/outings/{outingId}/allowances', {
        params: { path, query: place ? { innings: place.innings, over: place.over, end: place.end } : {} },
      }),
    );
  }

  async #fetchPeople(outing: Outing, allowances: AllowanceList): Promise<Person[]> {
    const known = new Map<string, Person>();
    if (outing.squadId !== null) {
      for (const player of await squadPlayers(this.regionId, outing.squadId)) known.set(player.id, player);
    }
    for (const bowler of allowances.bowlers) {
      const { playerId: id, name, kind } = bowler;
      known.set(id, { id, name, kind });
    }
    // A guest is in the attendance, and neither in the squad nor measured yet.
    const missing = outing.attendance.filter((a) => a.present === 'yes' && !known.has(a.playerId));
    for (const { playerId } of missing) {
      const path = { regionId: this.regionId, playerId };
      const player = await answer(session.service.GET('/regions/{regionId}/players/{playerId}', { params: { path } }));
      known.set(player.id, player);
    }
    return [...known.values()].sort(byName);
  }
}

/** Every player of a squad, by name. */
export async function squadPlayers(regionId: string, squadId: string): Promise<Player[]> {
  const players = await everyItem((pageToken) =>
    answer(
      session.service.GET('/regions/{regionId}/players', {
        params: { path: { regionId }, query: { squadId, pageSize: 100, ...(pageToken ? { pageToken } : {}) } },
      }),
    ),
  );
  return players.sort(byName);
}

const COLLATOR = new Intl.Collator('en-GB');

function byName(a: { name: string }, b: { name: string }): number {
  return COLLATOR.compare(a.name, b.name);
}

// The logs are left out on purpose: so they stay as they are.
function writable(outing: Outing): OutingWrite {
  const { clubId, squadId, kind, state, date, title, reference, format, attendance, version } = outing;
  return { clubId, squadId, kind, state, date, title, reference, format, attendance, version };
}
