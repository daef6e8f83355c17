// A number exactly as typed: 0.96 is not 1.0, and 1.0 keeps its digit. Held as
// a whole number of its smallest place, as events.Decimal does on the server.

export interface Decimal { digits: bigint; places: number }

/** Digits with at most one point or comma; null when it is not such a number. A comma that could part thousands is refused. */
export function parseDecimal(text: string): Decimal | null {
  const match = /^(-?)(\d*)(?:([.,])(\d+))?$/.exec(text.trim());
  if (!match) return null;
  const [, sign, whole = "", mark, fraction = ""] = match;
  if (whole + fraction === "" || (whole + fraction).length > 9 || fraction.length > 6) return null;
  if (mark === "," && fraction.length === 3 && /[1-9]/.test(whole)) return null;
  const digits = BigInt(whole + fraction);
  return { digits: sign ? -digits : digits, places: fraction.length };
}

function aligned(a: Decimal, b: Decimal): [bigint, bigint, number] {
  const places = Math.max(a.places, b.places);
  const scale = (d: Decimal) => d.digits * 10n ** BigInt(places - d.places);
  return [scale(a), scale(b), places];
}

/** Negative, 0 or positive as a is less than, equal to or more than b. */
export function compare(a: Decimal, b: Decimal): number {
  const [x, y] = aligned(a, b);
  return x < y ? -1 : x > y ? 1 : 0;
}

export function minus(a: Decimal, b: Decimal): Decimal {
  const [x, y, places] = aligned(a, b);
  return { digits: x - y, places };
}

export const times = (a: Decimal, n: number): Decimal => ({ digits: a.digits * BigInt(n), places: a.places });

export function show(d: Decimal): string {
  const sign = d.digits < 0n ? "-" : "";
  const text = (d.digits < 0n ? -d.digits : d.digits).toString().padStart(d.places + 1, "0");
  if (d.places === 0) return sign + text;
  return `${sign}${text.slice(0, -d.places)}.${text.slice(-d.places)}`;
}
