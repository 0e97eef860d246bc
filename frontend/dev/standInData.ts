/** The invented squad of the stand-in. See standIn.ts. No person, club or limit here is real. */
import type {
  Allowance,
  AllowanceList,
  BowlingKind,
  Finding,
  LimitSet,
  NextOver,
  Notice,
  Outing,
  OutingSummary,
  Player,
  Region,
} from '../src/api/contract.ts';

export type StandInOuting = Outing;

const id = (n: number) => `0190a000-0000-7000-8000-${String(n).padStart(12, '0')}`;

export const account = { id: id(1), name: 'Robin Ashdown' };
const CLUB = id(10);
const SEASON = id(20);
const CAUTION =
  'Counted from what was logged here, against an invented set. Your competition’s rules and a qualified adult decide.';
const SET = { limitSet: 'invented', title: 'Invented limits for trying screens', publisher: 'Nobody', year: 2020 };

const today = () => new Date().toISOString().slice(0, 10);

export function region(): Region {
  return {
    id: id(2),
    name: 'Westmarch',
    timeZone: 'Europe/London',
    today: today(),
    seasonStartMonth: 4,
    seasonStartDay: 1,
    demo: true,
    version: 1,
  };
}

export function seasons() {
  const year = today().slice(0, 4);
  return [{ id: SEASON, name: year, firstDay: `${year}-01-01`, lastDay: `${year}-12-31`, version: 1 }];
}

export function squads() {
  const one = (n: number, name: string) => ({
    id: id(n),
    clubId: CLUB,
    seasonId: SEASON,
    name,
    ageGroup: 'U13',
    playerCount: players.length,
    version: 1,
  });
  return [one(30, 'Under 13'), one(31, 'Under 15')];
}

const ROLES: Record<string, ('coach' | 'club_lead' | 'region_officer' | 'guardian')[]> = {
  coach: ['coach', 'guardian'],
  clublead: ['club_lead'],
  officer: ['region_officer'],
  guardian: ['guardian'],
};

export function appointments(account: string) {
  return (ROLES[account] ?? []).map((role, i) => ({
    id: id(40 + i + role.length * 10),
    regionId: id(2),
    regionName: 'Westmarch',
    accountId: id(1),
    holder: 'Robin Ashdown',
    role,
    clubId: role === 'region_officer' ? null : CLUB,
    clubName: role === 'region_officer' ? null : 'Millbrook Green',
    squadId: null,
    squadName: null,
    playerId: role === 'guardian' ? id(100) : null,
    from: '2020-01-01',
    to: null,
    version: 1,
  }));
}

const NAMES: [string, BowlingKind | null][] = [
  ['Asha Penhallow', 'wrist_spin'],
  ['Bryn Castellane', 'finger_spin'],
  ['Caspian Thwaite-Ollerenshaw', 'seam_back'],
  ['Dilys Marchbank', 'wrist_spin'],
  ['Eshan Quill', 'finger_spin'],
  ['Fern Oakhanger', 'seam_up'],
  ['Gus Wetherlam', null],
  ['Hana Ferncliffe', 'finger_spin'],
  ['Idris Bellweather', 'seam_back'],
  ['Jory Lanyon', 'wrist_spin'],
  ['Kit Amberley', 'seam_up'],
  ['Leila Stormont', 'finger_spin'],
];

export const players: Player[] = NAMES.map(([name, kind], i) => ({
  id: id(100 + i),
  name,
  named: true,
  ageGroup: 'U13',
  born: null,
  sex: null,
  arm: 'right',
  kind,
  since: null,
  reference: null,
  clubs: [{ clubId: CLUB, clubName: 'Millbrook Green', first: true }],
  squadIds: [id(30)],
  version: 1,
}));

export const outings = new Map<string, StandInOuting>();

export function summaryOf(outing: StandInOuting): OutingSummary {
  const { id, clubId, squadId, kind, state, date, title, version } = outing;
  const balls = [...outing.overs, ...outing.practice].reduce((sum, entry) => sum + entry.balls, 0);
  const presentCount = outing.attendance.filter((a) => a.present === 'yes').length;
  return { id, clubId, squadId, kind, state, date, title, presentCount, balls, version };
}

function finding(player: Player, allowed: number, actual: number): Finding {
  return {
    date: today(),
    limit: 'spell_overs',
    ...SET,
    weight: 'limit',
    allowed,
    actual,
    earliest: null,
    innings: null,
    over: null,
    ageGroup: 'U13',
    source: 'invented',
    says: `${player.name} would bowl ${actual} overs in this spell. The limit for under 13 is ${allowed}.`,
  };
}

function nextOver(outing: StandInOuting): NextOver | null {
  if (outing.kind !== 'match') return null;
  const last = [...outing.overs].sort((a, b) => b.innings - a.innings || b.over - a.over)[0];
  if (!last) return { innings: 1, over: 1, end: 'A' };
  return { innings: last.innings, over: last.over + 1, end: last.end === 'A' ? 'B' : 'A' };
}

export function allowancesOf(outing: StandInOuting, asked?: NextOver): AllowanceList {
  const next = asked ?? nextOver(outing);
  const bowlers = players
    .filter((player) => outing.attendance.some((a) => a.playerId === player.id && a.present === 'yes'))
    .map((player) => allowanceOf(player, outing, next));
  return { date: outing.date, caution: CAUTION, nextOver: next, bowlers };
}

function allowanceOf(player: Player, outing: StandInOuting, next: NextOver | null): Allowance {
  const overs = outing.overs.filter((over) => over.playerId === player.id);
  const practice = outing.practice.filter((entry) => entry.playerId === player.id);
  const balls = [...overs, ...practice].reduce((sum, entry) => sum + entry.balls, 0);
  const allowed = player.kind === 'seam_back' ? 1 : 5;
  const fast = player.kind === 'seam_back';
  const breaks = overs.length >= allowed ? [finding(player, allowed, overs.length + 1)] : [];
  const lastOver =
    next &&
    outing.overs.some((o) => o.playerId === player.id && o.innings === next.innings && o.over === next.over - 1);
  return {
    playerId: player.id,
    name: player.name,
    ageGroup: 'U13',
    kind: player.kind,
    ballsToday: balls + (player.name.startsWith('Bryn') ? 18 : 0),
    oversToday: overs.length,
    ballsElsewhereToday: player.name.startsWith('Bryn') ? 18 : 0,
    balls7: balls + 42,
    days7: balls > 0 ? 3 : 2,
    bowledLastOver: lastOver === true,
    sets: [
      {
        ...SET,
        judged: player.kind !== null,
        spellOvers: Math.max(0, allowed - overs.length),
        dayOvers: Math.max(0, 10 - overs.length),
        daysIn7: 4,
        runOfDays: 2,
        earliestEndA: fast && overs.length > 0 ? 9 : null,
        earliestEndB: fast && overs.length > 0 ? 10 : null,
      },
    ],
    next: [
      { kind: 'wrist_spin', breaks: fast ? [] : breaks },
      { kind: 'finger_spin', breaks: fast ? [] : breaks },
      { kind: 'seam_up', breaks },
      { kind: 'seam_back', breaks },
    ],
  };
}

export const limitSets: LimitSet[] = [
  {
    id: SET.limitSet,
    title: SET.title,
    publisher: SET.publisher,
    year: SET.year,
    address: 'https://limits.invalid',
    validFrom: null,
    validTo: null,
    fastKinds: ['seam_back'],
    ageRule: 'invented',
    newSpellAfterMin: 40,
    bands: [],
    settings: [],
  },
];

function notice(n: number, player: Player, weight: 'limit' | 'guidance', says: string): Notice {
  return {
    id: id(500 + n),
    kind: 'bowled_too_much',
    playerId: player.id,
    playerName: player.name,
    clubNames: ['Millbrook Green'],
    limit: weight === 'limit' ? 'spell_overs' : 'run_of_days',
    limitSet: SET.limitSet,
    limitSetTitle: SET.title,
    limitSetPublisher: SET.publisher,
    limitSetYear: SET.year,
    weight,
    firstDay: today(),
    lastDay: today(),
    openedOn: today(),
    visibleUntil: today(),
    state: 'open',
    takenUpBy: null,
    takenUpAt: null,
    endReason: null,
    endedBy: null,
    endedAt: null,
    late: false,
    says,
    doNext: ['Ask the coach of that day what happened.', 'Agree with the family which days are for rest.'],
    caution: CAUTION,
    facts: [
      {
        id: id(600 + n),
        date: today(),
        limit: 'spell_overs',
        allowed: 5,
        actual: 6,
        earliest: null,
        innings: 1,
        over: 11,
        outingId: null,
        says: 'Over 11 was the sixth of a spell; the limit is 5.',
        source: 'invented',
        late: false,
        withdrawn: false,
      },
    ],
    version: 1,
  };
}

export const notices: Notice[] = players
  .slice(0, 5)
  .map((player, i) =>
    notice(
      i,
      player,
      i % 2 === 0 ? 'limit' : 'guidance',
      i % 2 === 0
        ? `${player.name} bowled 6 overs in a spell on one day. The limit for under 13 is 5.`
        : `${player.name} bowled on 3 days running. The advice is at most 2.`,
    ),
  );
