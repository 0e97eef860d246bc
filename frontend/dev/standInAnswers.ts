/** What the stand-in answers. See standIn.ts. */
import {
  account,
  allowancesOf,
  appointments,
  limitSets,
  notices,
  outings,
  players,
  region,
  seasons,
  squads,
  summaryOf,
  type StandInOuting,
} from './standInData.ts';

export interface Asked {
  method: string;
  path: string;
  query: URLSearchParams;
  body: Record<string, unknown> | undefined;
  cookie: string;
  bearer: string;
}

export interface Answered {
  status: number;
  body?: unknown;
  cookie?: string;
}

const PASSWORD = 'demo region only please';
const COOKIE = 'longspell_stand_in';

function problem(status: number, code: string, detail: string): Answered {
  return {
    status,
    body: { type: 'about:blank', title: code, status, detail, instance: '', code, requestId: '', errors: [] },
  };
}

function signedIn(role: string): Answered {
  const body = {
    accessToken: role,
    expiresAt: new Date(Date.now() + 600_000).toISOString(),
    me: { accountId: account.id, displayName: account.name, appointments: appointments(role), demo: true },
  };
  return { status: 200, body, cookie: `${COOKIE}=${role}; Path=/api/v1; HttpOnly; SameSite=Strict` };
}

function entrance(asked: Asked): Answered | null {
  if (asked.path === '/sign-in') {
    const role = String(asked.body?.email).replace('@demo.invalid', '');
    const known = ['coach', 'clublead', 'officer', 'guardian'].includes(role) && asked.body?.password === PASSWORD;
    return known ? signedIn(role) : problem(401, 'wrong_sign_in', 'E-mail and password do not fit together.');
  }
  const held = new RegExp(`${COOKIE}=(\\w+)`).exec(asked.cookie)?.[1];
  if (asked.path === '/sign-in/refresh') return held ? signedIn(held) : problem(401, 'signed_out', 'Sign in.');
  if (asked.path === '/sign-out') return { status: 204, cookie: `${COOKIE}=; Path=/api/v1; Max-Age=0` };
  return asked.bearer === '' ? problem(401, 'signed_out', 'Sign in.') : null;
}

function page(items: readonly unknown[]): Answered {
  return { status: 200, body: { items, nextPageToken: null } };
}

function putOuting(id: string, body: Record<string, unknown>): Answered {
  const before = outings.get(id);
  const version = before?.version ?? 0;
  if (before && body.version !== version) {
    return problem(409, 'version', 'Somebody else changed this outing.');
  }
  const empty = { overs: [], spells: [], practice: [], reference: null, format: null, squadId: null };
  const outing = { ...empty, ...before, ...body, id, loggedBy: account.name, version: version + 1 } as StandInOuting;
  outings.set(id, outing);
  return { status: 200, body: { outing, allowances: allowancesOf(outing) } };
}

type Log = StandInOuting['overs'] | StandInOuting['practice'];

function putLog(log: Log, id: string, body: Record<string, unknown>): Record<string, unknown> | null {
  const at = log.findIndex((entry) => entry.id === id);
  const before = log[at];
  const same = before && body.balls === before.balls && body.playerId === before.playerId && body.kind === before.kind;
  if ((before?.version ?? 0) !== body.version && !(same && body.version === 0)) return null;
  const rest = Object.fromEntries(Object.entries(body).filter(([key]) => key !== 'pastLimitConfirmed'));
  const entry = {
    overs: null,
    hits: null,
    trial: null,
    effort: null,
    ...rest,
    id,
    version: (before?.version ?? 0) + 1,
  };
  if (before) log[at] = entry as never;
  else log.push(entry as never);
  return entry;
}

function outingPaths(asked: Asked, rest: string[]): Answered {
  const [id = '', part, entryId = ''] = rest;
  if (id === '') {
    const squadId = asked.query.get('squadId');
    return page([...outings.values()].filter((one) => squadId === null || one.squadId === squadId).map(summaryOf));
  }
  if (part === undefined && asked.method === 'PUT') return putOuting(id, asked.body ?? {});
  const outing = outings.get(id);
  if (!outing) return problem(404, 'not_found', 'There is no such thing here, or it is not yours to see.');
  if (part === undefined) return { status: 200, body: outing };
  if (part === 'allowances') {
    const innings = Number(asked.query.get('innings') ?? 0);
    const over = Number(asked.query.get('over') ?? 0);
    const end = asked.query.get('end') === 'B' ? 'B' : 'A';
    return { status: 200, body: allowancesOf(outing, innings > 0 ? { innings, over, end } : undefined) };
  }
  if (asked.method === 'DELETE') {
    outing.overs = outing.overs.filter((over) => over.id !== entryId);
    return { status: 200, body: allowancesOf(outing) };
  }
  const log = part === 'overs' ? outing.overs : outing.practice;
  const stored = putLog(log, entryId, asked.body ?? {});
  if (!stored) return problem(409, 'version', 'Somebody else changed this entry.');
  return { status: 200, body: { [part === 'overs' ? 'over' : 'practice']: stored, allowances: allowancesOf(outing) } };
}

function noticePaths(asked: Asked, rest: string[]): Answered {
  const [id, part] = rest;
  if (id === undefined) {
    const ended = asked.query.get('state') === 'ended';
    return page(notices.filter((notice) => (notice.state === 'ended') === ended));
  }
  const notice = notices.find((one) => one.id === id);
  if (!notice) return problem(404, 'not_found', 'There is no such notice.');
  if (part === undefined) return { status: 200, body: notice };
  if (asked.body?.version !== notice.version) return problem(409, 'version', 'Somebody else changed this notice.');
  const state = asked.body.state as 'open' | 'taken_up' | 'ended';
  const at = new Date().toISOString();
  Object.assign(notice, { state, version: notice.version + 1 });
  Object.assign(notice, state === 'open' ? { takenUpBy: null, takenUpAt: null } : {});
  Object.assign(notice, state === 'taken_up' ? { takenUpBy: account.name, takenUpAt: at } : {});
  Object.assign(
    notice,
    state === 'ended' ? { endReason: asked.body.endReason, endedBy: account.name, endedAt: at } : {},
  );
  return { status: 200, body: notice };
}

/** Answers one call. */
export function reply(asked: Asked): Answered {
  const barred = entrance(asked);
  if (barred) return barred;
  if (asked.path === '/limit-sets') return { status: 200, body: { items: limitSets } };
  const [, regions, , what, ...rest] = asked.path.split('/');
  if (regions !== 'regions') return problem(404, 'not_found', 'There is no such path.');
  if (what === undefined) return { status: 200, body: region() };
  if (what === 'seasons') return page(seasons());
  if (what === 'squads') return page(squads());
  if (what === 'players') return page(players);
  if (what === 'outings') return outingPaths(asked, rest);
  if (what === 'notices') return noticePaths(asked, rest);
  return problem(404, 'not_found', 'There is no such path.');
}
