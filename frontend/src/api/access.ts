import type { SignedIn } from './contract';
import { unreachable } from './refusal';

/** The name that the cookie endpoints ask for; a page of another origin cannot send it. */
export const CLIENT_NAME = 'web';

/** Seconds before its end at which an access token is renewed. */
const RENEW_BEFORE = 60;

/** How long a call may take, in milliseconds. A phone at the boundary says "online" with no link behind it. */
const PATIENCE_MS = 10_000;

export type Renewal = 'renewed' | 'ended' | 'unreachable';

type Fetch = (request: Request) => Promise<Response>;

export interface AccessEvents {
  /** The service gave a new token. */
  signedIn(answer: SignedIn): void;
  /** The service says that this sign-in has ended. */
  ended(): void;
}

/**
 * Keeps the access token, in memory only, and sends requests with it. The token is renewed from the cookie shortly before
 * it ends, and once when a call is answered with 401; however many calls ask at once, one renewal is sent.
 */
export class Access {
  #token: string | null = null;
  #renewing: Promise<Renewal> | null = null;
  #timer: ReturnType<typeof setTimeout> | undefined;
  readonly #base: string;
  readonly #events: AccessEvents;
  readonly #fetch: Fetch;

  constructor(base: string, events: AccessEvents, send: Fetch = (request) => fetch(request)) {
    this.#base = base;
    this.#events = events;
    this.#fetch = send;
  }

  /** Takes the answer of a sign-in or a renewal. `serverTime` spares us a phone whose clock is wrong. */
  take(answer: SignedIn, serverTime: string | null): void {
    this.#token = answer.accessToken;
    clearTimeout(this.#timer);
    const now = serverTime === null ? Date.now() : Date.parse(serverTime);
    const seconds = (Date.parse(answer.expiresAt) - (Number.isNaN(now) ? Date.now() : now)) / 1000;
    // A timer above 24.8 days would fire at once; a token that is nearly over waits for the next 401 instead of a loop.
    const wait = Math.min(Math.max(seconds - RENEW_BEFORE, 15), 86_400);
    this.#timer = setTimeout(() => void this.renew(), wait * 1000);
    this.#events.signedIn(answer);
  }

  /** Forgets the token. */
  drop(): void {
    this.#token = null;
    clearTimeout(this.#timer);
  }

  /** Asks for a new token on the strength of the cookie. Calls that come while one is under way share its answer. */
  renew(): Promise<Renewal> {
    this.#renewing ??= this.#alone(() => this.#askForToken()).finally(() => {
      this.#renewing = null;
    });
    return this.#renewing;
  }

  /** Sends a request with the token; after a 401 renews once and sends it once more. */
  async send(request: Request): Promise<Response> {
    // Read once, so that it can be sent twice: a cloned body would go out as a stream of unknown length.
    const body = await request.text();
    const used = this.#token;
    const response = await this.#once(request, used, body);
    if (response.status !== 401 || used === null) return response;
    // Another call may have renewed it while this one was under way.
    if (this.#token === used && (await this.renew()) !== 'renewed') return response;
    return this.#once(request, this.#token, body);
  }

  async #once(request: Request, token: string | null, body = ''): Promise<Response> {
    const { method, keepalive, credentials } = request;
    const headers = new Headers(request.headers);
    if (token !== null) headers.set('Authorization', `Bearer ${token}`);
    const signal = AbortSignal.timeout(PATIENCE_MS);
    const given = { method, headers, keepalive, credentials, signal, ...(body === '' ? {} : { body }) };
    try {
      return await this.#fetch(new Request(request.url, given));
    } catch {
      throw unreachable();
    }
  }

  // Two tabs share the cookie, which is replaced at each renewal: they must not spend the same one at the same moment.
  async #alone(work: () => Promise<Renewal>): Promise<Renewal> {
    // Browsers offer locks on secure origins only; a club may well try the app over plain http on its own network.
    const locks = navigator.locks as LockManager | null | undefined;
    if (!locks) return work();
    return (await locks.request('longspell-renew', work)) as Renewal;
  }

  async #askForToken(): Promise<Renewal> {
    const request = new Request(`${this.#base}/sign-in/refresh`, {
      method: 'POST',
      headers: { 'X-Longspell-Client': CLIENT_NAME },
      credentials: 'same-origin',
    });
    let response: Response;
    try {
      response = await this.#once(request, null);
      if (response.ok) {
        this.take((await response.json()) as SignedIn, response.headers.get('Date'));
        return 'renewed';
      }
    } catch {
      return 'unreachable';
    }
    if (response.status !== 401 && response.status !== 403) return 'unreachable';
    this.drop();
    this.#events.ended();
    return 'ended';
  }
}
