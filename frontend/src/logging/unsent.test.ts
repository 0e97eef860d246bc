import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import type { AllowanceList } from '../api/contract';
import { Refusal, unreachable } from '../api/refusal';
import { Unsent, type Carrier, type Held, type Stored, type Waiting } from './unsent.svelte';

const allowances = { date: '2026-05-09', caution: '', nextOver: null, bowlers: [] } satisfies AllowanceList;

/** A service that keeps what it is sent, as the contract has it: versions on edits, a repeat of the same is harmless. */
class Service implements Carrier {
  held = new Map<string, Held>();
  sent: string[] = [];
  /** What happens to the next sendings: stored with the answer lost, no link, or a refusal. */
  next: ('lose the answer' | 'no link' | Refusal)[] = [];
  /** Something that happens while a sending is under way. */
  meanwhile: (() => void) | null = null;

  async send(waiting: Waiting): Promise<Stored> {
    this.sent.push(`${waiting.id}:${waiting.body.balls}@${waiting.body.version}`);
    const event = this.next.shift();
    if (event === 'no link') throw unreachable();
    if (event instanceof Refusal) throw event;
    const version = this.store(waiting);
    this.meanwhile?.();
    await Promise.resolve();
    if (event === 'lose the answer') throw unreachable();
    return { what: waiting.what, id: waiting.id, outingId: waiting.outingId, version, allowances };
  }

  lookUp(waiting: Waiting): Promise<Held | null> {
    return Promise.resolve(this.held.get(waiting.id) ?? null);
  }

  store(waiting: Waiting): number {
    const before = this.held.get(waiting.id);
    const { playerId, kind, balls } = waiting.body;
    if (before?.balls === balls && before.playerId === playerId) return before.version;
    if ((before?.version ?? 0) !== waiting.body.version) throw new Refusal(409, 'version_stale', '', 'Reload it.');
    const version = waiting.body.version + 1;
    this.held.set(waiting.id, { version, balls, valid: null, playerId, kind });
    return version;
  }
}

let service: Service;
let unsent: Unsent;

beforeEach(() => {
  vi.useFakeTimers();
  sessionStorage.clear();
  service = new Service();
  unsent = new Unsent(service);
  unsent.open('robin');
});

afterEach(() => {
  unsent.clear();
  vi.useRealTimers();
});

function tap(id: string, balls: number, version = 0, playerId = 'asha'): void {
  const body = { playerId, kind: 'wrist_spin' as const, balls, version };
  unsent.put({ what: 'practice', id, regionId: 'r', outingId: 'o', body });
}

describe('what is tapped', () => {
  it('is sent in order and then waits no more', async () => {
    const heard: string[] = [];
    unsent.listen((stored) => heard.push(`${stored.id}@${stored.version}`));
    tap('a', 6);
    tap('b', 12);
    await unsent.flush();
    expect(service.sent).toEqual(['a:6@0', 'b:12@0']);
    expect(heard).toEqual(['a@1', 'b@1']);
    expect(unsent.list).toEqual([]);
    expect(sessionStorage.length).toBe(0);
  });

  it('is one sending where it changed before it went', async () => {
    tap('a', 1);
    tap('a', 2);
    tap('a', 8);
    await unsent.flush();
    expect(service.sent).toEqual(['a:8@0']);
  });

  it('is sent again with the new version where it changed under way', async () => {
    tap('a', 6);
    service.meanwhile = () => {
      service.meanwhile = null;
      tap('a', 7);
    };
    await unsent.flush();
    expect(service.sent).toEqual(['a:6@0', 'a:7@1']);
    expect(service.held.get('a')).toMatchObject({ balls: 7, version: 2 });
    expect(unsent.list).toEqual([]);
  });

  it('goes on from the version that our own sending made, though the screen knew an older one', async () => {
    tap('a', 6);
    await unsent.flush();
    tap('a', 7, 0);
    await unsent.flush();
    expect(service.held.get('a')).toMatchObject({ balls: 7, version: 2 });
    expect(unsent.list).toEqual([]);
  });

  it('is shared by calls that come together', async () => {
    tap('a', 6);
    await Promise.all([unsent.flush(), unsent.flush(), unsent.flush()]);
    expect(service.sent).toEqual(['a:6@0']);
  });
});

describe('with no link', () => {
  it('nothing is lost, and it is tried again by itself, ever more patiently', async () => {
    service.next = ['no link', 'no link'];
    tap('a', 6);
    await unsent.flush();
    expect(unsent.list).toHaveLength(1);
    await vi.advanceTimersByTimeAsync(4_000);
    expect(service.sent).toHaveLength(2);
    await vi.advanceTimersByTimeAsync(4_000);
    expect(service.sent).toHaveLength(2);
    await vi.advanceTimersByTimeAsync(4_000);
    expect(service.sent).toHaveLength(3);
    expect(unsent.list).toEqual([]);
  });

  it('a reload keeps it, for the same account, with no name in it', async () => {
    service.next = ['no link'];
    tap('a', 6);
    await unsent.flush();
    const kept = Object.keys(sessionStorage).map((key) => sessionStorage.getItem(key));
    expect(kept.join()).not.toContain('Asha');
    const stranger = new Unsent(new Service());
    stranger.open('somebody else');
    expect(stranger.list).toEqual([]);
    const later = new Service();
    const again = new Unsent(later);
    again.open('robin');
    await again.flush();
    expect(later.sent).toEqual(['a:6@0']);
  });

  it('an answer that was lost makes no second entry, even where the count went on', async () => {
    service.next = ['lose the answer'];
    tap('a', 6);
    await unsent.flush();
    expect(unsent.list).toHaveLength(1);
    tap('a', 7);
    await unsent.flush();
    expect(service.held.get('a')).toMatchObject({ balls: 7, version: 2 });
    expect(unsent.list).toEqual([]);
  });

  it('two lost answers in a row neither', async () => {
    service.next = ['lose the answer', 'no link'];
    tap('a', 6);
    await unsent.flush();
    tap('a', 7);
    await unsent.flush();
    tap('a', 9);
    await unsent.flush();
    expect(service.held.get('a')).toMatchObject({ balls: 9 });
    expect(unsent.list).toEqual([]);
  });
});

describe('a refusal', () => {
  it('stays with its reason and does not hold up the rest', async () => {
    service.next = [new Refusal(422, 'player_not_here', '', 'Somebody in this log is not a player of yours.')];
    tap('a', 6);
    tap('b', 12);
    await unsent.flush();
    expect(service.held.has('b')).toBe(true);
    expect(unsent.list.map((waiting) => [waiting.id, waiting.refusal?.detail])).toEqual([
      ['a', 'Somebody in this log is not a player of yours.'],
    ]);
    expect(unsent.underWay('o')).toBe(false);
  });

  it('is forgotten when the entry is put right', async () => {
    service.next = [new Refusal(422, 'invalid', '', 'Too many.')];
    tap('a', 601);
    await unsent.flush();
    tap('a', 60);
    await unsent.flush();
    expect(service.held.get('a')).toMatchObject({ balls: 60 });
    expect(unsent.list).toEqual([]);
  });

  it('that only asks to sign in again keeps everything as it is', async () => {
    service.next = [new Refusal(401, 'signed_out', '', '')];
    tap('a', 6);
    await unsent.flush();
    expect(unsent.list[0]?.refusal).toBeNull();
    unsent.open('robin');
    await unsent.flush();
    expect(service.held.get('a')).toMatchObject({ balls: 6 });
  });

  it('for another reason than somebody’s change is shown, though it is a conflict', async () => {
    service.held.set('a', { version: 1, balls: 6, valid: null, playerId: 'asha', kind: 'wrist_spin' });
    service.next = [new Refusal(409, 'already_there', '', 'There is one already.')];
    tap('a', 7, 1);
    await unsent.flush();
    expect(unsent.list[0]).toMatchObject({ theirs: null, refusal: { detail: 'There is one already.' } });
  });
});

describe('a change by somebody else', () => {
  beforeEach(async () => {
    service.held.set('a', { version: 3, balls: 18, valid: null, playerId: 'asha', kind: 'wrist_spin' });
    tap('a', 24, 2);
    await unsent.flush();
  });

  it('is asked about and not overwritten', () => {
    expect(unsent.list[0]?.theirs).toMatchObject({ balls: 18, version: 3 });
    expect(service.held.get('a')).toMatchObject({ balls: 18 });
  });

  it('stays where the person says so', () => {
    unsent.settle('a', false);
    expect(unsent.list).toEqual([]);
    expect(service.held.get('a')).toMatchObject({ balls: 18 });
  });

  it('gives way where the person says so', async () => {
    unsent.settle('a', true);
    await unsent.flush();
    expect(service.held.get('a')).toMatchObject({ balls: 24, version: 4 });
    expect(unsent.list).toEqual([]);
  });
});
