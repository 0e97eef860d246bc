/**
 * Every text of the app, in one place. The voice: short sentences, the trade's words, no exclamation marks. A refusal says
 * what is wrong, where, and what to do. A unit test keeps claims out that nobody can make (see messages.test.ts).
 */
import type { BallsInOver, BowlingKind, End, GivenReason, LimitName, OutingKind, Role, Weight } from './api/contract';
import type { PlaceName } from './session/places';
import { counted } from './wording/overs';

const kinds: Record<BowlingKind, string> = {
  wrist_spin: 'Wrist spin',
  finger_spin: 'Finger spin',
  seam_up: 'Seam, keeper up',
  seam_back: 'Seam, keeper back',
};

/** Where room is short, beside the mark of the kind. */
const kindsShort: Record<BowlingKind, string> = {
  wrist_spin: 'Wrist',
  finger_spin: 'Finger',
  seam_up: 'Seam up',
  seam_back: 'Seam back',
};

const roles: Record<Role, string> = {
  coach: 'Coach',
  club_lead: 'Club lead',
  region_officer: 'Region officer',
  guardian: 'Guardian',
};

const places: Record<PlaceName, string> = { tonight: 'Tonight', morning: 'This morning' };

const outingKinds: Record<OutingKind, string> = {
  match: 'Match',
  nets: 'Nets',
  home: 'Home practice',
  school: 'School',
  other: 'Other',
};

const limitNames: Record<LimitName, string> = {
  spell_overs: 'Overs in a spell',
  rest_overs: 'Rest between spells',
  day_overs: 'Overs in a day',
  week_overs: 'Overs in a week',
  week_balls: 'Balls in a week',
  days_in_7: 'Bowling days in seven',
  run_of_days: 'Bowling days running',
  net_balls: 'Balls in a net session',
  net_per_week: 'Net sessions in a week',
  bowler_cap: 'Overs a bowler',
};

const weights: Record<Weight, string> = {
  limit: 'Published limit',
  guidance: 'Published advice',
  policy: 'House rule',
};

const formats: Record<BallsInOver, string> = {
  six_valid: 'Six valid balls; extras bowled again',
  six_fixed: 'Six balls, extras included',
  at_most_7: 'Six valid balls, at most seven bowled',
  at_most_8: 'Six valid balls, at most eight bowled',
  five_fixed: 'Five balls, extras included',
};

const reasons: Record<GivenReason, string> = {
  adult_decided: 'I have seen it and decided; nothing more to do',
  injured_or_resting: 'Injured, or resting from bowling',
  logging_gap: 'The log was wrong or had gaps',
  returned: 'Back to bowling as before',
  family: 'The family decided',
  moved_club: 'Moved to another club',
  left_game: 'Left the game',
};

export const messages = {
  kinds,
  kindsShort,
  roles,
  places,
  outingKinds,
  limitNames,
  weights,
  formats,
  reasons,
  correctedReason: 'The log was corrected',
  noKind: 'Kind not known',
  noKindShort: 'Kind?',

  app: {
    name: 'Longspell',
    title: (place: string) => `${place} · Longspell`,
    skip: 'Skip to the page',
    demo: 'Demo: invented data',
    demoMore: 'No player, club or match here is real.',
    places: 'Places',
    hat: 'Acting as',
    signedInAs: (name: string) => `Signed in as ${name}`,
    signOut: 'Sign out',
    loading: 'Loading',
    retry: 'Try again',
    back: 'Back',
    close: 'Close',
    cancel: 'Cancel',
    more: 'Show more',
    nowhere: 'There is no such page',
    nowhereMore: 'The address may be mistyped, or the page may have moved.',
    toFirstPlace: (place: string) => `Go to ${place}`,
    notForHat: 'This page is not open to you under this appointment.',
  },

  trouble: {
    heading: 'There is a problem',
    unreachable: 'Longspell could not be reached. Check the link and try again. What you tapped is kept on this page.',
    busy: 'Longspell is busy. Wait a moment and try again.',
    fault: 'Something went wrong on our side. Try again; if it goes on, tell whoever runs Longspell for you.',
    unknown: (status: number) =>
      `Longspell refused this (${status}) and gave no reason. Try again, or ask the club lead.`,
    pageNotLoaded: 'This page could not be loaded.',
  },

  unsent: {
    count: (n: number) => `${counted(n, 'entry', 'entries')} not sent yet`,
    kept: 'Kept on this page until sent. Do not close it.',
    send: 'Send now',
    refused: (n: number) => `${counted(n, 'entry', 'entries')} not accepted. Open the outing and see why.`,
    openOuting: 'Open the outing',
    leaveHeading: 'Some entries are not sent yet',
    leave: (n: number) => `If you sign out now, ${counted(n, 'entry', 'entries')} will be lost.`,
    leaveAnyway: 'Sign out and lose them',
    stay: 'Stay signed in',
  },

  signIn: {
    heading: 'Sign in',
    lead: 'Who may still bowl, who has bowled too much, and who needs an adult to look.',
    ended: 'Your sign-in has ended. Sign in again; what you tapped is kept.',
    email: 'E-mail',
    password: 'Password',
    show: 'Show password',
    submit: 'Sign in',
    noEmail: 'Enter your e-mail address.',
    noAt: 'Enter an e-mail address with an @, like name@club.example.',
    noPassword: 'Enter your password.',
    wrong: 'E-mail and password do not fit together. Check both and try again.',
    tooMany: 'Too many attempts. Wait a few minutes and try again.',
  },

  nothingYet: {
    guardianHeading: 'Nothing for you here yet',
    guardian: 'There are no pages for guardians yet; ask the club lead of your child’s club about what is logged.',
    noneHeading: 'No appointment yet',
    none: 'Your account holds no appointment; ask the club lead of your club to give you one.',
  },

  tonight: {
    heading: 'Tonight',
    squads: 'Squad',
    noSquads: 'No squad of this season is open to you. Ask the club lead to put you in charge of one.',
    onToday: 'On today',
    nothingOn: 'Nothing logged or planned today.',
    planned: 'planned',
    held: 'held',
    calledOff: 'called off',
    here: (n: number) => `${n} here`,
    balls: (n: number) => counted(n, 'ball'),
    start: 'Start one',
    whoIsHere: 'Who is here',
    tally: (here: number, of: number) => `${here} of ${of} here`,
    allHere: 'All here',
    nobody: 'Nobody',
    emptySquad: 'This squad has no players yet. Ask the club lead to add them.',
    startNets: 'Start nets',
    startMatch: 'Start match',
    nobodyYet: 'Tap at least one player who is here.',
    format: 'Match format',
    oversASide: 'Overs a side',
    timeCricket: 'Leave empty for time cricket.',
    bowlerCap: 'Most overs a bowler',
    noCap: 'Leave empty if there is none.',
    ballsInOver: 'Balls in an over',
    title: 'Name of the match',
    titleHint: 'Optional.',
    formatLine: (overs: string, cap: string) => `${overs}, ${cap}`,
    overs: (n: number) => `${counted(n, 'over')} a side`,
    time: 'Time cricket',
    cap: (n: number) => `${n} a bowler at most`,
    uncapped: 'no cap on a bowler',
    wholeNumber: (most: number) => `Enter a whole number from 1 to ${most}, or leave it empty.`,
    starting: 'Starting',
  },

  outing: {
    whoIsHere: 'Who is here',
    change: 'Change who is here',
    save: 'Save who is here',
    nobodyHere: 'Nobody is noted as here. Change who is here, then count.',
    planned: 'This outing is planned. Note who is here, then count.',
    begin: 'Begin',
    calledOff: 'This outing was called off. Nothing can be logged at it.',
  },

  left: {
    heading: 'What is left',
    column: { spell: 'Spell', day: 'Today', days: 'Days', from: 'From' },
    columns:
      'Spell and Today: overs left. Days: bowling days left in seven. From: the next over allowed from this end.',
    columnLong: {
      spell: 'Overs left in the spell',
      day: 'Overs left today',
      days: 'Bowling days left in seven',
      from: 'Next over allowed from this end',
    },
    none: '–',
    noneLong: 'no such limit',
    now: 'now',
    fromOver: (over: number) => `over ${over}`,
    notJudged: 'Not measured: no age on record.',
    set: (title: string, publisher: string, year: number) => `${title}, ${publisher}, ${year}`,
    under: 'Left under',
    week: (balls: number) => (balls === 0 ? 'No balls in 7 days' : `${counted(balls, 'ball')} in 7 days`),
    todayAndWeek: (today: number, week: number) => `${counted(today, 'ball')} today, ${week} in 7 days`,
    elsewhere: (balls: number) => `${counted(balls, 'ball')} today for another club`,
    stale: 'Counted without what is not sent yet.',
    formatsOwn: 'The format of the match',
    noSets: 'Your region has adopted no published limit. Only what was bowled is shown.',
  },

  nets: {
    heading: 'Nets',
    total: (balls: number, bowlers: number) => `${counted(balls, 'ball')}, ${counted(bowlers, 'bowler')}`,
    kindOf: (name: string) => `Kind of bowling, ${name}`,
    add: (n: number, name: string) => `+${counted(n, 'ball')}, ${name}`,
    undo: 'Undo',
    undoOf: (n: number, name: string) => `Undo ${counted(n, 'ball')}, ${name}`,
    ballsOf: (n: number, name: string) => `${counted(n, 'ball')}, ${name}`,
    saved: 'saved',
    sending: 'saving',
    notSent: 'not sent yet',
    refused: 'not accepted',
    theirs: 'changed by somebody else',
    theirsMore: (theirs: number, mine: number) =>
      `Somebody else changed this count to ${theirs}. You have ${mine}. Which one is right?`,
    takeTheirs: (n: number) => `Keep ${n}`,
    takeMine: (n: number) => `Use my ${n}`,
    discard: 'Drop this count',
    others: (list: string) => `and ${list}`,
    other: (balls: number, kind: string) => `${balls} ${kind}`,
    daysLeft: (n: number) => `${counted(n, 'day')} left`,
  },

  match: {
    heading: 'Match',
    place: (innings: number, over: number, end: End) => `Innings ${innings}, over ${over}, end ${end}`,
    change: 'Change',
    changeOver: 'Change innings, over or end',
    innings: 'Innings',
    over: 'Over',
    end: 'End',
    ends: { A: 'End A', B: 'End B' } satisfies Record<End, string>,
    break: 'Break just before this over, in minutes',
    breakHint: '0 if there was none.',
    day: 'Bowled on',
    done: 'Done',
    who: 'Who bowls?',
    whoFinishes: 'Who finishes this over?',
    bowledLast: 'Bowled the last over. May not bowl two running.',
    beganThis: 'Has bowled in this over already.',
    goesOn: 'bowled last from this end',
    breaks: 'One more over goes past a limit',
    breaksAdvice: 'One more over goes past advice',
    spellMark: (overs: string) => `Overs bowled this innings: ${overs}`,
    noOvers: 'No over this innings',
    bowling: (name: string) => `${name} bowls`,
    changeBowler: 'Another bowler',
    ball: 'Ball',
    wide: 'Wide',
    noBall: 'No-ball',
    undo: 'Undo',
    count: (valid: number, of: number) => `${valid} of ${of}`,
    countAll: (balls: number, of: number) => `${balls} of ${of} balls`,
    begun: (balls: number) => `${counted(balls, 'ball')} bowled by another`,
    extras: (n: number) => counted(n, 'extra'),
    complete: 'The over is up.',
    overfull: 'More balls than the format asks for. Logged as bowled.',
    endOver: 'End over',
    endEarly: 'End over early',
    share: 'Another bowler finishes this over',
    kind: 'Kind',
    logged: (over: number, name: string) => `Over ${over} logged, ${name}`,
    book: 'Overs bowled',
    bookEmpty: 'No over logged yet.',
    correct: 'Correct',
    correctOf: (over: number, name: string) => `Correct over ${over}, ${name}`,
    inningsHeading: (n: number, overs: string) => `Innings ${n}: ${overs} overs`,
    fromEnd: (end: End) => `end ${end}`,
    breakBefore: (minutes: number) => `break of ${minutes} min before`,
  },

  pastLimit: {
    heading: 'One more over goes past a limit',
    source: (title: string, publisher: string, year: number) => `${title}, ${publisher}, ${year}`,
    confirm: 'Bowl on, past the limit',
    other: 'Choose another bowler',
    keep: 'Go back',
  },

  correct: {
    heading: (over: number) => `Correct over ${over}`,
    bowler: 'Bowler',
    kind: 'Kind',
    balls: 'Balls bowled, wides and no-balls included',
    valid: 'Valid balls',
    save: 'Save the correction',
    takeBack: 'Take this over back',
    takeBackSure: 'The over goes out of the book. The correction is kept with your name.',
    ballsRange: 'Enter a whole number of balls from 1 to 40.',
    validRange: 'Enter a whole number, not more than the balls bowled.',
    numberRange: (most: number) => `Enter a whole number from 1 to ${most}.`,
    breakRange: 'Enter minutes as a whole number from 0 to 1440.',
    theirs: (what: string) => `Somebody else changed this over to ${what}. Which one is right?`,
    what: (name: string, balls: number, valid: number | null) =>
      valid === null ? `${name}, ${counted(balls, 'ball')}` : `${name}, ${counted(balls, 'ball')}, ${valid} valid`,
    keepTheirs: 'Keep theirs',
    useMine: 'Use mine',
    changedMeanwhile:
      'Somebody else changed this match in the meantime. It has been loaded again; look before you go on.',
    notSent: 'not sent yet',
    refused: 'not accepted',
  },

  marks: {
    over: (valid: number, extras: number) =>
      extras === 0
        ? counted(valid, 'valid ball')
        : `${counted(valid, 'valid ball')}, ${counted(extras, 'wide or no-ball', 'wides or no-balls')}`,
    brokenLimit: 'Limit broken',
    pastAdvice: 'Past advice',
  },

  morning: {
    heading: 'This morning',
    filter: 'Notices',
    filters: { waiting: 'Waiting', ended: 'Ended' },
    count: (n: number, more: boolean) => (more ? `The latest ${n}` : counted(n, 'notice')),
    empty: 'No published limit exceeded in what was logged here. Bowling that was not logged is not counted.',
    emptyEnded: 'No notice has ended yet.',
    facts: 'What was counted',
    limit: 'Limit',
    days: 'Days',
    clubs: 'Club',
    doNext: 'What you can do',
    withdrawn: 'Withdrawn: the log was corrected.',
    lateFact: 'Logged after its night.',
    late: 'Came from a log entered later.',
    waiting: 'Waiting',
    takenUp: (who: string, when: string) => `Taken up by ${who}, ${when}`,
    ended: (reason: string, who: string, when: string) => `Ended by ${who}, ${when}: ${reason}`,
    endedByService: (reason: string, when: string) => `Ended ${when}: ${reason}`,
    takeUp: 'Take it up',
    putBack: 'Put it back',
    end: 'End it',
    endHeading: 'Why does this notice end?',
    endHint: 'The reason is kept with the notice.',
    endConfirm: 'End the notice',
    pickReason: 'Choose a reason.',
    handled: { taken_up: 'Taken up.', open: 'Put back.', ended: 'Ended.' },
    changedMeanwhile: 'Somebody else has changed this notice in the meantime. This is how it stands now.',
    somebody: 'somebody',
  },
} as const;
