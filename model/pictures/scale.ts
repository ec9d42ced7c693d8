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
