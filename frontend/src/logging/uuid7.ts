/**
 * Ids made by the phone, so that sending the same thing twice is harmless: UUID version 7 of RFC 9562 section 5.7,
 * 48 bits of Unix milliseconds, then random bits. Within one millisecond the order is that of making: 12 bits count up
 * (RFC 9562 section 6.2, method 1).
 */

let lastMillis = -1;
let counter = 0;

/** A new id. `millis` and `random` are given by tests only. */
export function uuid7(millis = Date.now(), random: (bytes: Uint8Array) => Uint8Array = fillRandom): string {
  const bytes = random(new Uint8Array(16));
  // A clock that was set back must not make ids that sort before earlier ones.
  let stamp = Math.max(millis, lastMillis);
  if (stamp === lastMillis) {
    counter += 1;
    if (counter > 0xfff) {
      stamp += 1;
      counter = 0;
    }
  } else {
    // Leave room above the starting point for what comes in the same millisecond.
    counter = (((bytes[6] ?? 0) << 8) | (bytes[7] ?? 0)) & 0x7ff;
  }
  lastMillis = stamp;

  for (let i = 0; i < 6; i++) bytes[i] = Math.floor(stamp / 2 ** (8 * (5 - i))) & 0xff;
  bytes[6] = 0x70 | (counter >> 8);
  bytes[7] = counter & 0xff;
  bytes[8] = 0x80 | ((bytes[8] ?? 0) & 0x3f);
  const hex = Array.from(bytes, (b) => b.toString(16).padStart(2, '0')).join('');
  return `${hex.slice(0, 8)}-${hex.slice(8, 12)}-${hex.slice(12, 16)}-${hex.slice(16, 20)}-${hex.slice(20)}`;
}

function fillRandom(bytes: Uint8Array): Uint8Array {
  return crypto.getRandomValues(bytes as Uint8Array<ArrayBuffer>);
}
