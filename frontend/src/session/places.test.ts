import { describe, expect, it } from 'vitest';
import type { Appointment } from '../api/contract';
import { hatName } from './hats';
import { placesFor } from './places';

describe('what an appointment opens', () => {
  it('puts first what its holder needs most', () => {
    expect(placesFor('coach')).toEqual(['tonight', 'morning']);
    expect(placesFor('club_lead')).toEqual(['morning', 'tonight']);
    expect(placesFor('region_officer')).toEqual(['morning']);
    expect(placesFor('guardian')).toEqual([]);
  });

  it('is named by role, squad and club, or by the region', () => {
    const hat = { role: 'coach', squadName: 'Under 13', clubName: 'Millbrook Green', regionName: 'Westmarch' };
    expect(hatName(hat as Appointment)).toBe('Coach, Under 13, Millbrook Green');
    const officer = { role: 'region_officer', squadName: null, clubName: null, regionName: 'Westmarch' };
    expect(hatName(officer as Appointment)).toBe('Region officer, Westmarch');
  });
});
