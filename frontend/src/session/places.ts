import type { Role } from '../api/contract';

/** The places of this release, in the order of the navigation. */
export type PlaceName = 'tonight' | 'morning';

const OPEN_TO: Record<Role, readonly PlaceName[]> = {
  coach: ['tonight', 'morning'],
  club_lead: ['morning', 'tonight'],
  region_officer: ['morning'],
  guardian: [],
};

/** The places that an appointment opens; the one that its holder needs most comes first and is where they land. */
export function placesFor(role: Role): readonly PlaceName[] {
  return OPEN_TO[role];
}

/** The address of a place. */
export const PLACE_PATHS: Record<PlaceName, string> = {
  tonight: '/tonight',
  morning: '/this-morning',
};
