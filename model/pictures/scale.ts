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

/** The 1-2-5 marks of a log axis between two sizes; every whole step where the axis is shorter than a decade. */
export function decadeTicks(from: number, to: number): number[] {
  const steps = to / from < 10 ? [1, 1.5, 2, 3, 4, 5, 6, 7, 8, 9] : [1, 2, 5];
  const ticks: number[] = [];
  for (let power = Math.floor(Math.log10(from)); power <= Math.ceil(Math.log10(to)); power++) {
    for (const step of steps) {
      const tick = Number(`${step}e${power}`);
      if (tick >= from * (1 - 1e-9) && tick <= to * (1 + 1e-9)) ticks.push(tick);
    }
  }
  return ticks;
}

/** A number in plain decimals, without trailing zeros and with a true minus: 0.2, 5, −100. */
export function plainDecimal(value: number): string {
  return String(Number(value.toPrecision(6))).replace("-", "−");
}
