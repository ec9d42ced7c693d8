import { DomainError } from "#distributions/domainError.ts";

/** Sizes spread evenly in ln x from one end to the other, both included. @throws DomainError  ends that do not rise */
export function geometricSteps(from: number, to: number, count: number): number[] {
  if (!(from > 0 && to > from))
    throw new DomainError("range", "must be positive and rising", `${from} … ${to}`);
  const step = Math.log(to / from) / (count - 1);
  return Array.from({ length: count }, (_, i) => (i === count - 1 ? to : from * Math.exp(i * step)));
}

/** Values spread evenly from one end to the other, both included. */
export function evenSteps(from: number, to: number, count: number): number[] {
  return Array.from({ length: count }, (_, i) => from + ((to - from) * i) / (count - 1));
}
