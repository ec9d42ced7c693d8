import { curveOf } from "#distributions/curve.ts";
import type { SlidFamily, StandardForm } from "#distributions/families/family.ts";
import { logNormal } from "#distributions/families/logNormal.ts";
import { rosinRammler } from "#distributions/families/rosinRammler.ts";
import type { NamedMeasurement } from "#distributions/sizeDistribution.ts";
import { readTable } from "#distributions/tables/readTable.ts";
import { fitFamily } from "#model/fit/fitFamily.ts";
import { fitPoints } from "#model/fit/fitPoints.ts";
import { sumsAt } from "#model/fit/kernels/newtonSums.ts";
import { centred, newtonFit } from "#model/fit/newton.ts";
import { shapeOf } from "#model/fit/startShape.ts";
import { timeOf } from "./timeOf.ts";

/** One line of the table: milliseconds of processor of one turn, and how far the result is from the optimum. */
export interface Timed {
  readonly job: string;
  readonly ms: number;
  readonly accuracy: number | null;
}

function readOne(text: string): NamedMeasurement[] {
  return [...readTable(text, "bench", { edge: "both", quantity: "volume" }).measurements];
}

/** The fit of a family of two parameters: the solver alone on sizes that are kept, and the full record of a measurement. */
export function timeFits(texts: { ln: string; rr: string; mix: string; lots: readonly string[] }): Timed[] {
  const timed: Timed[] = [];
  const demo = texts.lots.flatMap(readOne);
  for (const [name, text] of [
    ["log-normal", texts.ln],
    ["rosin-rammler", texts.rr],
  ] as const) {
    const [one] = readOne(text);
    if (one === undefined) throw new Error("no measurement");
    timed.push(name === "log-normal" ? ofSolver(logNormal, one) : ofSolver(rosinRammler, one));
    timed.push({
      job: `${name} fit, full record`,
      ms: timeOf(1000, () => fitFamily(one, name)),
      accuracy: null,
    });
    let turn = 0;
    timed.push({
      job: `${name} fit, demo lots, full record`,
      ms: timeOf(1000, () => fitFamily(demo[turn++ % demo.length] ?? one, name)),
      accuracy: null,
    });
  }
  const [mixed] = readOne(texts.mix);
  if (mixed === undefined) throw new Error("no measurement");
  timed.push({
    job: "two-part mixture, all starts",
    ms: timeOf(20, () => fitFamily(mixed, "mixture")),
    accuracy: null,
  });
  return timed;
}

function ofSolver<P>(family: SlidFamily<P>, one: NamedMeasurement): Timed {
  const points = fitPoints(one.distribution, "edges");
  const shape = shapeOf(curveOf(one.distribution));
  if (shape === null) throw new Error("no shape");
  const [location = 0, lnScale = 0] = family.free.toFree(family.start(shape.d50Um, shape.widthLn));
  const sizes = centred(points.lnSizes);
  const shares = points.shares;
  const found = newtonFit(family.form, sizes, shares, [location, lnScale]);
  if (found === null) throw new Error("no floor");
  return {
    job: `${family.name} fit, sizes kept`,
    ms: timeOf(2000, () => newtonFit(family.form, sizes, shares, [location, lnScale])),
    accuracy: offOptimum(family, sizes, shares, found.parameters),
  };
}

/** How far Newton's step of the plain formula would still move a parameter. */
function offOptimum(
  { form }: { readonly form: StandardForm },
  sizes: ReturnType<typeof centred>,
  shares: readonly number[],
  [location = 0, lnScale = 0]: readonly number[],
): number {
  const slope = Math.exp(-lnScale);
  const level = (sizes.middle - location) * slope;
  const { gradient, exact } = sumsAt(form, { ts: sizes.ts, shares }, slope, level);
  const [tt, t1, ones] = exact;
  const [g0, g1] = gradient;
  const whole = tt * ones - t1 * t1;
  return (Math.abs((ones * g0 - t1 * g1) / whole) + Math.abs((tt * g1 - t1 * g0) / whole)) / (1 + slope);
}
