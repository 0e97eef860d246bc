import type { Refusal } from '../api/refusal';
import { messages } from '../messages';

/** A refusal in words for the person: the service's own where it gave some, ours where it could not. */
export function inWords(refusal: Refusal): string {
  if (refusal.status === 0 || refusal.status === 408) return messages.trouble.unreachable;
  if (refusal.status === 429 || refusal.status === 503) return messages.trouble.busy;
  if (refusal.status >= 500) return messages.trouble.fault;
  const fields = refusal.fields.map((field) => field.detail);
  const said = [refusal.detail || refusal.title, ...fields].filter((text) => text !== '');
  return said.length > 0 ? said.join(' ') : messages.trouble.unknown(refusal.status);
}
