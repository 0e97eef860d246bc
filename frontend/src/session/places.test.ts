import { describe, expect, it } from 'vitest';
import type { Appointment } from '../api/contract';
import { hatName, hatsOf } from './hats';
import { placesFor } from './places';

describe('what an appointment opens', () => {
  it('puts first what its holder needs most', () => {
    expect(placesFor('coach')).toEqual(['tonight', 'morning']);
    expect(placesFor('club_lead')).toEqual(['morning', 'tonight']);
    expect(placesFor('region_officer')).toEqual(['morning']);
    expect(placesFor('guardian')).toEqual([]);
  });

  const appointment = (change: Partial<Appointment>) =>
    ({
      role: 'coach',
      regionId: 'r',
      regionName: 'Westmarch',
      clubId: 'm',
      clubName: 'Millbrook Green',
      squadId: null,
      squadName: null,
      ...change,
    }) as Appointment;

  it('is one for a coach of two squads at one club, and another at another club', () => {
    const hats = hatsOf([
      appointment({ squadId: '13', squadName: 'Under 13' }),
      appointment({ squadId: '15', squadName: 'Under 15' }),
      appointment({ clubId: 'h', clubName: 'Holm', squadId: '11', squadName: 'Under 11' }),
    ]);
    expect(hats.map((hat) => [hatName(hat), hat.squadIds])).toEqual([
      ['Coach, Millbrook Green', ['13', '15']],
      ['Coach, Under 11, Holm', ['11']],
    ]);
  });

  it('is for every squad where one appointment is for the whole club', () => {
    const [hat] = hatsOf([appointment({ squadId: '13' }), appointment({})]);
    expect(hat?.squadIds).toBeNull();
  });

  it('is the region’s for an officer and for a guardian', () => {
    const hats = hatsOf([
      appointment({ role: 'region_officer', clubId: null, clubName: null }),
      appointment({ role: 'guardian' }),
      appointment({ role: 'guardian', clubId: 'h' }),
    ]);
    expect(hats.map(hatName)).toEqual(['Region officer, Westmarch', 'Guardian, Westmarch']);
  });
});
