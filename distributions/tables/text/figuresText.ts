/** A number in a message: four significant figures, never in the dress of a computer. */
export function figuresText(value: number): string {
  if (!Number.isFinite(value)) return "a number too large to hold";
  const size = Math.abs(value);
  return size !== 0 && (size >= 1e7 || size < 1e-5)
    ? value.toExponential(2)
    : String(Number(value.toPrecision(4)));
}
