import { DomainError } from "#distributions/domainError.ts";

/** Sum of the products of two lists, value by value. @throws DomainError  lists of different length */
export function dot(a: ArrayLike<number> & Iterable<number>, b: ArrayLike<number>): number {
  if (a.length !== b.length) throw new DomainError("list", `must have ${a.length} values`, b.length);
  let [sum, i] = [0, 0];
  for (const x of a) {
    const y = b[i++];
    if (y !== undefined) sum += x * y;
  }
  return sum;
}
