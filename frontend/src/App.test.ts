import { render, screen } from '@testing-library/svelte';
import { tick } from 'svelte';
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import App from './App.svelte';
import { unsent } from './logging/pending';
import { messages } from './messages';

const account = { accountId: 'robin', displayName: 'Robin', appointments: [], demo: true };

let asked: string[];
let renewal: () => Response;

beforeEach(() => {
  asked = [];
  sessionStorage.clear();
  renewal = () => new Response('{}', { status: 401 });
  vi.stubGlobal('scrollTo', () => undefined);
  vi.stubGlobal('fetch', (request: Request) => {
    const { pathname } = new URL(request.url);
    asked.push(`${request.method} ${pathname}`);
    return pathname.endsWith('/sign-in/refresh')
      ? Promise.resolve(renewal())
      : Promise.reject(new TypeError('no link'));
  });
});

afterEach(() => unsent.clear());

function stillSignedIn(): Response {
  return Response.json({ accessToken: 't', expiresAt: new Date(Date.now() + 600_000).toISOString(), me: account });
}

const putOf = (method: string) => asked.filter((call) => call.startsWith(method));

describe('the app', () => {
  it('asks who it is when the cookie holds no longer', async () => {
    render(App);
    expect(await screen.findByRole('heading', { name: messages.signIn.heading })).toBeTruthy();
    expect(asked).toEqual(['POST /api/v1/sign-in/refresh']);
  });

  it('does not take a lost link for a sign-in that ended', async () => {
    renewal = () => new Response('', { status: 503 });
    render(App);
    expect(await screen.findByText(messages.trouble.unreachable)).toBeTruthy();
    expect(screen.queryByRole('heading', { name: messages.signIn.heading })).toBeNull();
  });

  it('goes on where a sign-in holds, says that it is the demo, and says so to whoever has no appointment', async () => {
    renewal = stillSignedIn;
    render(App);
    expect(await screen.findByText(messages.nothingYet.none)).toBeTruthy();
    expect(screen.getByText(/Demo: invented data/)).toBeTruthy();
  });

  it('does not send a tap before its counter has rested', async () => {
    renewal = stillSignedIn;
    render(App);
    await screen.findByText(messages.nothingYet.none);
    const body = { playerId: 'asha', kind: null, balls: 6, version: 0 };
    unsent.put({ what: 'practice', id: 'a', regionId: 'r', outingId: 'o', body });
    await tick();
    expect(unsent.sending).toBe(false);
    unsent.put({ what: 'practice', id: 'a', regionId: 'r', outingId: 'o', body: { ...body, balls: 7 } });
    await tick();
    expect(unsent.sending).toBe(false);
    await unsent.flush();
    expect(putOf('PUT')).toHaveLength(1);
    expect(await screen.findByText(messages.unsent.kept)).toBeTruthy();
  });
});
