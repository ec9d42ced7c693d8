/** A number that carries its derivatives by each parameter: exact slopes of any formula, for tests. */
export interface Dual {
  readonly value: number;
  readonly by: readonly number[];
}

const made = (value: number, by: readonly number[]): Dual => ({ value, by });
const lift = (v: Dual | number, like: Dual): Dual =>
  typeof v === "number"
    ? made(
        v,
        like.by.map(() => 0),
      )
    : v;
const chain = (a: Dual, value: number, slope: number) =>
  made(
    value,
    a.by.map((d) => d * slope),
  );

/** The parameter at a place in the list. */
export const parameter = (value: number, index: number, count: number): Dual =>
  made(
    value,
    Array.from({ length: count }, (_, i) => (i === index ? 1 : 0)),
  );
export const add = (...parts: readonly Dual[]): Dual =>
  parts.reduce((a, b) =>
    made(
      a.value + b.value,
      a.by.map((d, i) => d + (b.by[i] ?? 0)),
    ),
  );
export const times = (a: Dual, b: Dual | number): Dual => {
  const other = lift(b, a);
  return made(
    a.value * other.value,
    a.by.map((d, i) => d * other.value + a.value * (other.by[i] ?? 0)),
  );
};
export const plus = (a: Dual, b: number): Dual => made(a.value + b, a.by);
export const minus = (a: Dual): Dual => times(a, -1);
export const over = (a: Dual | number, b: Dual): Dual =>
  times(chain(b, 1 / b.value, -1 / b.value ** 2), lift(a, b));
export const exp = (a: Dual): Dual => chain(a, Math.exp(a.value), Math.exp(a.value));
export const log = (a: Dual): Dual => chain(a, Math.log(a.value), 1 / a.value);
/** A power with a constant exponent. */
export const power = (a: Dual, n: number): Dual => chain(a, a.value ** n, n * a.value ** (n - 1));
export const cos = (a: Dual): Dual => chain(a, Math.cos(a.value), -Math.sin(a.value));
export const sin = (a: Dual): Dual => chain(a, Math.sin(a.value), Math.cos(a.value));
export const arctan = (a: Dual): Dual => chain(a, Math.atan(a.value), 1 / (1 + a.value ** 2));
