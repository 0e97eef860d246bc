import type { Appointment, Role } from '../api/contract';
import { messages } from '../messages';

/**
 * What a person acts as: appointments of one role at one club taken together, since a coach of two squads is one coach.
 * A region officer's is the region's; a guardian's is that of all their children in a region.
 */
export interface Hat {
  /** Stable while the appointments are. */
  readonly key: string;
  readonly role: Role;
  readonly regionId: string;
  readonly regionName: string;
  readonly clubId: string | null;
  readonly clubName: string | null;
  /** The squads it is for; null for every squad of the club. */
  readonly squadIds: readonly string[] | null;
  readonly squadNames: readonly string[];
}

/** The hats of a person, in the order of their appointments. */
export function hatsOf(appointments: readonly Appointment[]): Hat[] {
  const groups = new Map<string, Appointment[]>();
  for (const appointment of appointments) {
    const { role, regionId, clubId } = appointment;
    const key = [role, regionId, role === 'guardian' ? null : clubId].filter((part) => part !== null).join(' ');
    groups.set(key, [...(groups.get(key) ?? []), appointment]);
  }
  return [...groups].map(([key, group]) => hatOf(key, group));
}

function hatOf(key: string, group: readonly Appointment[]): Hat {
  const { role, regionId, regionName, clubId, clubName } = group[0] as Appointment;
  const wholeClub = group.some((appointment) => appointment.squadId === null);
  return {
    key,
    role,
    regionId,
    regionName,
    clubId,
    clubName,
    squadIds: wholeClub ? null : group.flatMap((appointment) => appointment.squadId ?? []),
    squadNames: wholeClub ? [] : group.flatMap((appointment) => appointment.squadName ?? []),
  };
}

/** A hat in a few words: "Coach, Under 13, Millbrook Green". */
export function hatName(hat: Hat): string {
  const squad = hat.squadNames.length === 1 ? hat.squadNames : [];
  const where = hat.clubName === null || hat.role === 'guardian' ? hat.regionName : hat.clubName;
  return [messages.roles[hat.role], ...squad, where].join(', ');
}
