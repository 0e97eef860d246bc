/** Invented people and outings for the tests of the screens' logic. Imported by tests only. */
import type { Allowance, AllowanceList, NextOver, Outing, Over, Practice, SetAllowance } from './api/contract';
import { session } from './session/session.svelte';

export const OUTING = '0190a000-0000-7000-8000-0000000000aa';

const SET: SetAllowance = {
  limitSet: 'invented',
  title: 'Invented',
  publisher: 'Nobody',
  year: 2020,
  judged: true,
  spellOvers: 3,
  dayOvers: 6,
  daysIn7: 2,
  runOfDays: 1,
  earliestEndA: null,
  earliestEndB: null,
};

/** What is left for one invented bowler. */
export function allowance(playerId: string, change: Partial<Allowance> = {}): Allowance {
  return {
    playerId,
    name: playerId[0]?.toUpperCase() + playerId.slice(1),
    ageGroup: 'U13',
    kind: 'finger_spin',
    ballsToday: 0,
    oversToday: 0,
    ballsElsewhereToday: 0,
    balls7: 0,
    days7: 0,
    bowledLastOver: false,
    sets: [SET],
    next: [],
    ...change,
  };
}

/** A service in memory that answers `fetch` for one outing, and notes what it was sent. */
export class OneOuting {
  outing: Outing;
  bowlers: Allowance[];
  nextOver: NextOver | null = null;
  sent: { method: string; path: string; body: Record<string, unknown> }[] = [];
  /** True: nothing gets through. */
  cut = false;

  constructor(kind: 'nets' | 'match', here: readonly string[], change: Partial<Outing> = {}) {
    this.bowlers = here.map((id) => allowance(id));
    this.outing = {
      id: OUTING,
      clubId: 'club',
      squadId: null,
      kind,
      state: 'held',
      date: '2026-05-09',
      title: '',
      reference: null,
      format: { oversASide: 20, bowlerCap: 4, ballsInOver: 'six_valid' },
      attendance: here.map((playerId) => ({ playerId, present: 'yes' })),
      overs: [],
      spells: [],
      practice: [],
      loggedBy: null,
      version: 1,
      ...change,
    };
  }

  get allowances(): AllowanceList {
    return {
      date: '2026-05-09',
      caution: 'Counted from what was logged.',
      nextOver: this.nextOver,
      bowlers: this.bowlers,
    };
  }

  readonly fetch = async (request: Request): Promise<Response> => {
    if (this.cut) throw new TypeError('no link');
    const { pathname, searchParams } = new URL(request.url);
    const tail = pathname.split(OUTING)[1] ?? '';
    if (request.method === 'GET') return Response.json(this.#read(tail, searchParams));
    const text = await request.text();
    const body = text === '' ? {} : (JSON.parse(text) as Record<string, unknown>);
    this.sent.push({ method: request.method, path: tail, body });
    return this.#write(request.method, tail, body);
  };

  #read(tail: string, query: URLSearchParams): unknown {
    if (tail === '') return this.outing;
    if (query.has('over')) {
      const next = { innings: Number(query.get('innings')), over: Number(query.get('over')), end: query.get('end') };
      return { ...this.allowances, nextOver: next };
    }
    return this.allowances;
  }

  #write(method: string, tail: string, body: Record<string, unknown>): Response {
    const [, what, id = ''] = tail.split('/');
    if (what === undefined) {
      Object.assign(this.outing, body, { version: this.outing.version + 1 });
      return Response.json({ outing: this.outing, allowances: this.allowances });
    }
    if (method === 'DELETE') {
      this.outing = { ...this.outing, overs: this.outing.overs.filter((over) => over.id !== id) };
      return Response.json(this.allowances);
    }
    const blank = { overs: null, hits: null, trial: null, effort: null };
    const entry = { ...(what === 'practice' ? blank : {}), ...body, id, version: Number(body.version) + 1 };
    if (what === 'practice') {
      const others = this.outing.practice.filter((one) => one.id !== id);
      this.outing = { ...this.outing, practice: [...others, entry as unknown as Practice] };
      return Response.json({ practice: entry, allowances: this.allowances });
    }
    const over = entry as unknown as Over;
    this.outing = { ...this.outing, overs: [...this.outing.overs.filter((one) => one.id !== id), over] };
    this.nextOver = { innings: over.innings, over: over.over + 1, end: over.end === 'A' ? 'B' : 'A' };
    return Response.json({ over, allowances: this.allowances });
  }
}

/** Signs an invented coach in. */
export function signInCoach(): void {
  session.me = { accountId: 'robin', displayName: 'Robin', appointments: [], demo: true };
  session.region = {
    id: 'region',
    name: 'Westmarch',
    timeZone: 'Europe/London',
    today: '2026-05-09',
    seasonStartMonth: 4,
    seasonStartDay: 1,
    demo: true,
    version: 1,
  };
}
