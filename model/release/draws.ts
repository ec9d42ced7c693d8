import { normalDeviate } from "#distributions/families/normalDeviate.ts";
import { itemAt } from "#distributions/lists.ts";
import { scaleQuantiles } from "#model/numbers/jointChance.ts";

/** So many draws bring a share within 0.004 of the truth for up to seven rows (tests/model/release). */
export const drawCount = 4093;

/**
 * Draws of independent standard normal numbers, or of Student's t that share one scale, always the same.
 *
 * @param numbers  a draw, one draw after another
 * @param degrees  of freedom of the shared scale; null for the normal curve
 * Source: lattice of square roots of primes (Richtmyer), as for rectangles of the multivariate t (Genz and Bretz 2002).
 */
export function drawsOf(numbers: number, degrees: number | null, count = drawCount): Float64Array {
  const steps = primes(numbers + 1).map((p) => Math.sqrt(p) % 1);
  const scales = degrees === null ? null : scaleQuantiles(degrees);
  const place = (draw: number, dimension: number) => ((draw + 0.5) * itemAt(steps, dimension)) % 1;
  const draws = new Float64Array(numbers * count);
  for (let draw = 0; draw < count; draw++) {
    const scale = scales === null ? 1 : scales(place(draw, numbers));
    for (let i = 0; i < numbers; i++)
      draws[draw * numbers + i] = normalDeviate(Math.max(place(draw, i), 1e-12)) / scale;
  }
  return draws;
}

function primes(count: number): number[] {
  const found: number[] = [];
  for (let n = 2; found.length < count; n++) if (found.every((p) => n % p !== 0)) found.push(n);
  return found;
}
