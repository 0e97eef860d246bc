import { answer, type Service } from '../api/client';
import type { Outing } from '../api/contract';
import { Refusal } from '../api/refusal';
import type { Carrier, Held, Stored, Waiting, WaitingOver, WaitingPractice } from './unsent.svelte';

/** Carries what was tapped to the service. `keepalive` lets a call outlive the page that made it. */
export function carrierTo(service: Service): Carrier {
  return {
    send: (waiting) => (waiting.what === 'over' ? sendOver(service, waiting) : sendPractice(service, waiting)),
    lookUp: (waiting) => lookUp(service, waiting),
  };
}

async function sendOver(service: Service, waiting: WaitingOver): Promise<Stored> {
  const { id, regionId, outingId, body } = waiting;
  const got = await answer(
    service.PUT('/regions/{regionId}/outings/{outingId}/overs/{overId}', {
      params: { path: { regionId, outingId, overId: id } },
      body,
      keepalive: true,
    }),
  );
  return { what: 'over', id, outingId, version: got.over.version, over: got.over, allowances: got.allowances };
}

async function sendPractice(service: Service, waiting: WaitingPractice): Promise<Stored> {
  const { id, regionId, outingId, body } = waiting;
  const got = await answer(
    service.PUT('/regions/{regionId}/outings/{outingId}/practice/{practiceId}', {
      params: { path: { regionId, outingId, practiceId: id } },
      body,
      keepalive: true,
    }),
  );
  const { practice, allowances } = got;
  return { what: 'practice', id, outingId, version: practice.version, practice, allowances };
}

async function lookUp(service: Service, waiting: Waiting): Promise<Held | null> {
  const { regionId, outingId } = waiting;
  let outing: Outing;
  try {
    outing = await answer(
      service.GET('/regions/{regionId}/outings/{outingId}', { params: { path: { regionId, outingId } } }),
    );
  } catch (fault) {
    if (fault instanceof Refusal && fault.status === 404) return null;
    throw fault;
  }
  if (waiting.what === 'over') {
    const over = outing.overs.find((held) => held.id === waiting.id);
    return over ? { ...over } : null;
  }
  const practice = outing.practice.find((held) => held.id === waiting.id);
  return practice ? { ...practice, valid: null } : null;
}
