/** Balls in cricket's notation of overs: 22 valid balls are "3.4". Six to the over unless the format says five. */
export function oversNotation(balls: number, toTheOver = 6): string {
  const whole = Math.floor(balls / toTheOver);
  const rest = balls - whole * toTheOver;
  return rest === 0 ? String(whole) : `${whole}.${rest}`;
}

const PLURAL = new Intl.PluralRules('en-GB');

/** A whole number with its noun: "1 ball", "12 balls". */
export function counted(n: number, one: string, many = `${one}s`): string {
  return `${n} ${PLURAL.select(n) === 'one' ? one : many}`;
}

/** Names in a row: "Asha, Ben and Col". */
export function listed(items: readonly string[]): string {
  return new Intl.ListFormat('en-GB', { type: 'conjunction' }).format(items);
}
