import { describe, expect, it } from 'vitest';
import { routeOf } from './route';

const ID = '0190a000-0000-7000-8000-000000000001';

describe('addresses', () => {
  it.each([
    ['/', { name: 'home' }],
    ['/tonight', { name: 'tonight' }],
    ['/tonight/', { name: 'tonight' }],
    ['/this-morning', { name: 'morning' }],
    [`/nets/${ID}`, { name: 'nets', outingId: ID }],
    [`/match/${ID}`, { name: 'match', outingId: ID }],
    ['/nets/1', { name: 'nowhere' }],
    [`/match/${ID}/x`, { name: 'nowhere' }],
    ['/elsewhere', { name: 'nowhere' }],
  ])('%s', (path, route) => expect(routeOf(path)).toEqual(route));
});
