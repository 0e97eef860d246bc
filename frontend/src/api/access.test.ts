import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { Access, type AccessEvents } from './access';
import type { SignedIn } from './contract';
import { Refusal } from './refusal';

const BASE = 'http://club.invalid/api/v1';

function signedIn(token: string, seconds = 600): SignedIn {
  return {
    accessToken: token,
    expiresAt: new Date(Date.now() + seconds * 1000).toISOString(),
    me: { accountId: 'a', displayName: 'Robin', appointments: [], demo: false },
  };
}

/** A service that takes one token at a time and counts what it is asked. */
class Service {
  good = 'first';
  renewals = 0;
  renewAnswers: (() => Response)[] = [];
  calls: string[] = [];

  readonly fetch = async (request: Request): Promise<Response> => {
    const path = new URL(request.url).pathname;
    if (path.endsWith('/sign-in/refresh')) {
      this.renewals += 1;
      expect(request.headers.get('X-Longspell-Client')).toBe('web');
      const answer = this.renewAnswers.shift();
      // The answer comes a moment later, so that calls can gather behind it.
      await Promise.resolve();
      if (!answer) throw new TypeError('no link');
      return answer();
    }
    const bearer = request.headers.get('Authorization');
    this.calls.push(`${bearer} ${await request.text()}`);
    return new Response('{}', { status: bearer === `Bearer ${this.good}` ? 200 : 401 });
  };
}

let service: Service;
let events: { signedIn: ReturnType<typeof vi.fn>; ended: ReturnType<typeof vi.fn> };
let access: Access;

beforeEach(() => {
  vi.useFakeTimers();
  service = new Service();
  events = { signedIn: vi.fn(), ended: vi.fn() };
  access = new Access(BASE, events as unknown as AccessEvents, service.fetch);
});

afterEach(() => {
  access.drop();
  vi.useRealTimers();
});

function renewsTo(token: string, seconds?: number): void {
  service.renewAnswers.push(() => {
    service.good = token;
    return Response.json(signedIn(token, seconds));
  });
}

const put = (body: string) => new Request(`${BASE}/thing`, { method: 'PUT', body });

describe('calls', () => {
  it('carry the token', async () => {
    access.take(signedIn('first'), null);
    expect((await access.send(put('x'))).status).toBe(200);
    expect(service.calls).toEqual(['Bearer first x']);
    expect(service.renewals).toBe(0);
  });

  it('are sent once more, whole, after the token was renewed', async () => {
    access.take(signedIn('stale'), null);
    renewsTo('second');
    expect((await access.send(put('body'))).status).toBe(200);
    expect(service.calls).toEqual(['Bearer stale body', 'Bearer second body']);
  });

  it('that fail together renew once', async () => {
    access.take(signedIn('stale'), null);
    renewsTo('second');
    const answers = await Promise.all(['a', 'b', 'c', 'd'].map((body) => access.send(put(body))));
    expect(answers.map((answer) => answer.status)).toEqual([200, 200, 200, 200]);
    expect(service.renewals).toBe(1);
  });

  it('do not renew a second time when the new token is refused too', async () => {
    access.take(signedIn('stale'), null);
    service.renewAnswers.push(() => Response.json(signedIn('also refused')));
    expect((await access.send(put('x'))).status).toBe(401);
    expect(service.renewals).toBe(1);
    expect(service.calls).toHaveLength(2);
  });

  it('without a token are not followed by a renewal: a wrong password is no ended sign-in', async () => {
    expect((await access.send(put('x'))).status).toBe(401);
    expect(service.renewals).toBe(0);
  });

  it('that reach nobody are refused as unreachable', async () => {
    const lost = new Access(BASE, events as unknown as AccessEvents, () => Promise.reject(new TypeError('no link')));
    await expect(lost.send(put('x'))).rejects.toMatchObject({ status: 0, code: 'unreachable', passing: true });
    await expect(lost.send(put('x'))).rejects.toBeInstanceOf(Refusal);
  });
});

describe('renewal', () => {
  it('comes a minute before the token ends', async () => {
    access.take(signedIn('first', 600), null);
    renewsTo('second');
    await vi.advanceTimersByTimeAsync(539_000);
    expect(service.renewals).toBe(0);
    await vi.advanceTimersByTimeAsync(2_000);
    expect(service.renewals).toBe(1);
  });

  it('goes by the service’s clock, not the phone’s', async () => {
    const answer = signedIn('first', 600);
    // The phone is eight minutes behind the service.
    access.take(answer, new Date(Date.now() + 480_000).toUTCString());
    renewsTo('second');
    await vi.advanceTimersByTimeAsync(62_000);
    expect(service.renewals).toBe(1);
  });

  it('tells that the sign-in has ended', async () => {
    access.take(signedIn('stale'), null);
    service.renewAnswers.push(() => Response.json({ code: 'signed_out' }, { status: 401 }));
    expect(await access.renew()).toBe('ended');
    expect(events.ended).toHaveBeenCalledOnce();
    // The token is forgotten with it.
    await access.send(put('x'));
    expect(service.calls.at(-1)).toBe('null x');
  });

  it('without a link ends nothing', async () => {
    access.take(signedIn('first'), null);
    expect(await access.renew()).toBe('unreachable');
    service.renewAnswers.push(() => new Response('', { status: 503 }));
    expect(await access.renew()).toBe('unreachable');
    expect(events.ended).not.toHaveBeenCalled();
    expect((await access.send(put('x'))).status).toBe(200);
  });
});
