import type { Appointment } from '../api/contract';
import { messages } from '../messages';

/** An appointment in a few words: "Coach, Under 13, Millbrook". */
export function hatName(hat: Appointment): string {
  const of = [hat.squadName, hat.clubName].filter((name) => name !== null);
  return [messages.roles[hat.role], ...(of.length > 0 ? of : [hat.regionName])].join(', ');
}
