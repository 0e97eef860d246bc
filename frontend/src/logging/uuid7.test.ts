import { describe, expect, it } from 'vitest';
import { uuid7 } from './uuid7';

const zeros = (bytes: Uint8Array) => bytes.fill(0);

// RFC 9562, "Universally Unique IDentifiers (UUIDs)", IETF 2024, section 5.7 and the worked value of appendix A.6.
describe('ids made by the phone', () => {
  it('agrees with the worked example of RFC 9562 in stamp, version and variant', () => {
    const random = (bytes: Uint8Array) => {
      bytes.set([0, 0, 0, 0, 0, 0, 0x0c, 0xc3, 0x18, 0xc4, 0xdc, 0x0c, 0x0c, 0x07, 0x39, 0x8f]);
      return bytes;
    };
    const id = uuid7(0x017f22e279b0, random);
    expect(id.slice(0, 15)).toBe('017f22e2-79b0-7');
    expect(id.slice(19)).toBe('98c4-dc0c0c07398f');
  });

  it('keeps the order of making within a millisecond and when the clock goes back', () => {
    const at = 0x0190_0000_0000;
    const ids = [uuid7(at, zeros), uuid7(at, zeros), uuid7(at - 5_000, zeros), uuid7(at, zeros), uuid7(at + 1, zeros)];
    expect([...ids].sort()).toEqual(ids);
    expect(new Set(ids).size).toBe(ids.length);
  });

  it('stays in order when more are made in a millisecond than the counter holds', () => {
    const at = 0x0191_0000_0000;
    const ids = Array.from({ length: 5_000 }, () => uuid7(at, zeros));
    expect([...ids].sort()).toEqual(ids);
    expect(new Set(ids).size).toBe(ids.length);
  });

  it('has the shape that the contract asks for', () => {
    expect(uuid7()).toMatch(/^[0-9a-f]{8}-[0-9a-f]{4}-7[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}$/);
  });
});
