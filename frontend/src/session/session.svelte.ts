import { answer, connect } from '../api/client';
import { CLIENT_NAME } from '../api/access';
import type { Me, Region, SignedIn } from '../api/contract';
import type { Refusal } from '../api/refusal';
import { hatsOf, type Hat } from './hats';

/** Where the sign-in stands. `unreachable`: the service could not be asked whether the cookie still holds. */
export type SessionState = 'resuming' | 'signed_out' | 'signed_in' | 'unreachable';

const HAT_KEY = 'longspell.hat';

/** Who is signed in, what they act as, and the region that this is in. */
class Session {
  state = $state<SessionState>('resuming');
  me = $state.raw<Me | null>(null);
  region = $state.raw<Region | null>(null);
  regionTrouble = $state.raw<Refusal | null>(null);
  /** The service ended the sign-in while the person was at work. */
  ended = $state(false);
  #hatKey = $state<string | null>(null);
  readonly hats = $derived(hatsOf(this.me?.appointments ?? []));

  readonly #wire = connect({
    signedIn: (given) => this.#signedIn(given),
    ended: () => this.#endedByService(),
  });
  readonly service = this.#wire.service;

  /** What the person acts as now. */
  get hat(): Hat | null {
    return this.hats.find((hat) => hat.key === this.#hatKey) ?? this.hats[0] ?? null;
  }

  /** Takes up where the browser left off, if the cookie still holds. */
  async resume(): Promise<void> {
    this.state = 'resuming';
    const renewal = await this.#wire.access.renew();
    if (renewal === 'unreachable') this.state = 'unreachable';
    // The first visit is no ended sign-in.
    if (renewal === 'ended') this.ended = false;
  }

  /** Signs in; throws the Refusal of the service. */
  async signIn(email: string, password: string): Promise<void> {
    let serverTime: string | null = null;
    const given = await answer(
      this.service.POST('/sign-in', { body: { email, password } }).then((got) => {
        serverTime = got.response.headers.get('Date');
        return got;
      }),
    );
    this.#wire.access.take(given, serverTime);
  }

  /** Ends the sign-in here and on the service. */
  async signOut(): Promise<void> {
    try {
      await answer(this.service.POST('/sign-out', { params: { header: { 'X-Longspell-Client': CLIENT_NAME } } }));
    } finally {
      this.#leave();
      this.ended = false;
      sessionStorage.removeItem(HAT_KEY);
    }
  }

  /** Acts as something else that the same person is. */
  async wear(key: string): Promise<void> {
    this.#hatKey = key;
    sessionStorage.setItem(HAT_KEY, key);
    await this.loadRegion();
  }

  /** Asks for the region anew: its `today` moves on while a page stays open. */
  async loadRegion(): Promise<void> {
    const hat = this.hat;
    if (hat === null) {
      this.region = null;
      return;
    }
    if (this.region?.id !== hat.regionId) this.region = null;
    try {
      this.region = await answer(
        this.service.GET('/regions/{regionId}', { params: { path: { regionId: hat.regionId } } }),
      );
      this.regionTrouble = null;
    } catch (fault) {
      this.regionTrouble = fault as Refusal;
    }
  }

  #signedIn(given: SignedIn): void {
    const other = this.me?.accountId !== given.me.accountId;
    this.me = given.me;
    this.#hatKey ??= sessionStorage.getItem(HAT_KEY);
    this.state = 'signed_in';
    this.ended = false;
    if (other || this.region === null) void this.loadRegion();
  }

  #endedByService(): void {
    this.ended = this.state === 'signed_in';
    this.#leave();
  }

  #leave(): void {
    this.#wire.access.drop();
    this.state = 'signed_out';
    this.me = null;
    this.region = null;
    this.#hatKey = null;
  }
}

/** The one session of this page. */
export const session = new Session();
