import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { OneOuting, OUTING, signInCoach } from '../testing';
import { NetsDesk } from './netsDesk.svelte';
import { unsent } from './pending';

let service: OneOuting;
let nets: NetsDesk;

async function open(): Promise<void> {
  nets = new NetsDesk('region', OUTING);
  await nets.desk.load();
}

beforeEach(async () => {
  vi.useFakeTimers();
  sessionStorage.clear();
  signInCoach();
  service = new OneOuting('nets', ['asha', 'bryn']);
  vi.stubGlobal('fetch', service.fetch);
  unsent.open('robin');
  await open();
});

afterEach(async () => {
  service.cut = false;
  nets.leave();
  await unsent.flush();
  unsent.clear();
  vi.useRealTimers();
});

describe('a counter at nets', () => {
  it('sends a run of taps once, a second after the last', async () => {
    nets.add('asha', 6);
    nets.add('asha', 6);
    nets.add('asha', 1);
    expect(nets.balls('asha')).toBe(13);
    expect(nets.standing('asha')).toBe('sending');
    await vi.advanceTimersByTimeAsync(900);
    expect(service.sent).toEqual([]);
    await vi.advanceTimersByTimeAsync(200);
    expect(service.sent.map((one) => one.body.balls)).toEqual([13]);
    expect(nets.balls('asha')).toBe(13);
    expect(nets.standing('asha')).toBe('saved');
    expect(nets.standing('bryn')).toBe('none');
  });

  it('takes back tap by tap, and one ball at a time what an earlier visit counted', async () => {
    nets.add('asha', 6);
    nets.add('asha', 1);
    expect(nets.lastTap('asha')).toBe(1);
    nets.takeBack('asha');
    expect(nets.lastTap('asha')).toBe(6);
    nets.send();
    await vi.runAllTimersAsync();
    nets.leave();
    await open();
    expect(nets.balls('asha')).toBe(6);
    expect(nets.lastTap('asha')).toBe(1);
    nets.takeBack('asha');
    expect(nets.balls('asha')).toBe(5);
  });

  it('stops at none', () => {
    nets.takeBack('asha');
    expect(nets.balls('asha')).toBe(0);
    expect(unsent.list).toEqual([]);
  });

  it('keeps what was bowled of one kind when another is chosen', async () => {
    nets.add('asha', 12);
    nets.setKind('asha', 'seam_up');
    expect(nets.balls('asha')).toBe(0);
    nets.add('asha', 6);
    expect(nets.otherBalls('asha')).toEqual([{ kind: 'finger_spin', balls: 12 }]);
    nets.send();
    await vi.runAllTimersAsync();
    expect(service.outing.practice.map((one) => [one.kind, one.balls])).toEqual([
      ['finger_spin', 12],
      ['seam_up', 6],
    ]);
    expect(nets.total).toBe(18);
  });

  it('is sent at once when the screen is left', () => {
    nets.add('asha', 6);
    nets.leave();
    expect(unsent.sending).toBe(true);
  });

  it('loses nothing without a link, says so, and sends each count once when the link is back', async () => {
    service.cut = true;
    nets.add('asha', 6);
    nets.add('bryn', 1);
    await vi.advanceTimersByTimeAsync(1_500);
    expect(nets.standing('asha')).toBe('not_sent');
    expect(nets.balls('asha')).toBe(6);
    service.cut = false;
    await vi.advanceTimersByTimeAsync(10_000);
    expect(service.sent.map((one) => one.body.balls)).toEqual([6, 1]);
    expect(nets.standing('asha')).toBe('saved');
    expect(nets.standing('bryn')).toBe('saved');
  });
});
