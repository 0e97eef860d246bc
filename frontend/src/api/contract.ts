/** The contract's nouns under the names that the screens use. The types themselves are generated: see schema.d.ts. */
import type { components } from './schema';

type Schemas = components['schemas'];

export type Allowance = Schemas['Allowance'];
export type AllowanceList = Schemas['AllowanceList'];
export type Appointment = Schemas['Appointment'];
export type Attendance = Schemas['Attendance'];
export type BallsInOver = Schemas['BallsInOver'];
export type BowlingKind = Schemas['BowlingKind'];
export type End = Schemas['End'];
export type EndReason = Schemas['EndReason'];
export type Finding = Schemas['Finding'];
export type LimitName = Schemas['LimitName'];
export type LimitSet = Schemas['LimitSet'];
export type MatchFormat = Schemas['MatchFormat'];
export type Me = Schemas['Me'];
export type NextOver = Schemas['NextOver'];
export type Notice = Schemas['Notice'];
export type NoticeFact = Schemas['NoticeFact'];
export type NoticeHandling = Schemas['NoticeHandling'];
export type Outing = Schemas['Outing'];
export type OutingKind = Schemas['OutingKind'];
export type OutingSummary = Schemas['OutingSummary'];
export type OutingWrite = Schemas['OutingWrite'];
export type Over = Schemas['Over'];
export type OverWrite = Schemas['OverWrite'];
export type Player = Schemas['Player'];
export type Practice = Schemas['Practice'];
export type PracticeWrite = Schemas['PracticeWrite'];
export type Problem = Schemas['Problem'];
export type Region = Schemas['Region'];
export type Role = Schemas['Role'];
export type SetAllowance = Schemas['SetAllowance'];
export type SignedIn = Schemas['SignedIn'];
export type Squad = Schemas['Squad'];
export type Weight = Schemas['Weight'];

/** The kinds in the order in which a coach of spin asks for them. */
export const BOWLING_KINDS: readonly BowlingKind[] = ['wrist_spin', 'finger_spin', 'seam_up', 'seam_back'];

/** The ways in which a format counts an over, the Laws' own first. */
export const BALLS_IN_OVER: readonly BallsInOver[] = ['six_valid', 'six_fixed', 'at_most_7', 'at_most_8', 'five_fixed'];

/** The reasons an adult may give for ending a notice; "corrected" is the service's own. */
export type GivenReason = Exclude<EndReason, 'corrected'>;

/** In the order in which they are offered. */
export const GIVEN_REASONS: readonly GivenReason[] = [
  'adult_decided',
  'injured_or_resting',
  'logging_gap',
  'returned',
  'family',
  'moved_club',
  'left_game',
];
