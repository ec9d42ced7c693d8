import { DomainError } from "../domainError.ts";

/** @throws DomainError unless the value is above zero and finite */
export function positive(name: string, value: number): number {
  if (!(value > 0 && Number.isFinite(value))) throw new DomainError(name, "must be positive", value);
  return value;
}

/** @throws DomainError for a size below zero */
export function size(sizeUm: number): number {
  if (!(sizeUm >= 0)) throw new DomainError("sizeUm", "must not be negative", sizeUm);
  return sizeUm;
}

/** @throws DomainError unless 0 < fraction < 1 */
export function inside(fraction: number): number {
  if (!(fraction > 0 && fraction < 1))
    throw new DomainError("fraction", "must lie between 0 and 1", fraction);
  return fraction;
}
