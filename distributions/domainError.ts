/**
 * A rule of the mathematics was broken by the caller: a programming fault, or a request that cannot be met.
 * Odd data from outside is never a DomainError; it becomes a `Problem`.
 *
 * @example new DomainError("gsd", "must be at least 1", 0.8).message // "gsd must be at least 1, got 0.8"
 */
export class DomainError extends Error {
  readonly quantity: string;
  readonly rule: string;
  readonly value: unknown;

  constructor(quantity: string, rule: string, value: unknown) {
    super(`${quantity} ${rule}, got ${String(value)}`);
    this.name = "DomainError";
    this.quantity = quantity;
    this.rule = rule;
    this.value = value;
  }
}
