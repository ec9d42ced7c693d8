import { curveOf, sizeAt } from "#distributions/curve.ts";
import { logNormal } from "#distributions/families/logNormal.ts";
import { rosinRammler } from "#distributions/families/rosinRammler.ts";
import { geometricSurface } from "#distributions/moments.ts";
import type { SizeDistribution } from "#distributions/sizeDistribution.ts";
import { fitPoints } from "#model/fit/fitPoints.ts";
import { solveSlid } from "#model/fit/solveFamily.ts";
import { shapeOf } from "#model/fit/startShape.ts";
import { overRuns } from "#model/lot/overRuns.ts";
import { type Chance, chanceFrom } from "./chance.ts";
import { type Departure, measure, powders, type SimulatedPowder, unmoved } from "./powders.ts";

/**
 * How runs scatter about their lot. The skewness is 0, 1 and 1.41; serially: each run's departure is half of the one before
 * and new scatter; subsamples: two runs each, which share a departure as large as a run's own.
 */
export type ScatterKind = "normal" | "skewed" | "strongly skewed" | "serially correlated" | "two subsamples";

/** How often the 95 % interval of one quantity held the lot's own value. */
export interface Covered {
  readonly powder: string;
  readonly scatter: ScatterKind;
  readonly runs: number;
  readonly quantity: string;
  readonly lots: number;
  readonly share: number;
}

/** Fixed before the first run. */
const seed = 20_261_125;

export const lotsPerCase = 4000;
export const runCounts = [3, 4, 6] as const;

/** Bounds that the share must keep to. Strongly skewed scatter is shown to say where the intervals stop being right. */
export const bounds = {
  normal: [0.94, 0.96],
  skewed: [0.92, 0.98],
  "strongly skewed": [0, 1],
  "serially correlated": [0, 1],
  "two subsamples": [0, 1],
} as const;

/** Every case: three powders, three numbers of runs, normal scatter, and skewed scatter of the first powder. */
export function coverage(lots = lotsPerCase, only: readonly ScatterKind[] | null = null): Covered[] {
  const [first] = powders;
  return [
    ...powders.map((powder) => ({ powder, scatter: "normal" as const })),
    ...(first === undefined
      ? []
      : (["skewed", "strongly skewed", "serially correlated", "two subsamples"] as const).map((scatter) => ({
          powder: first,
          scatter,
        }))),
  ].flatMap(({ powder, scatter }, i) =>
    (only?.includes(scatter) === false ? [] : runCounts).flatMap((runs) =>
      caseOf(powder, scatter, runs, lots, chanceFrom(seed + 100 * i + runs)),
    ),
  );
}

function caseOf(
  powder: SimulatedPowder,
  scatter: ScatterKind,
  runs: number,
  lots: number,
  chance: Chance,
): Covered[] {
  const truth = quantitiesOf(measure(powder, unmoved));
  const names = Object.keys(truth);
  const held = new Map(names.map((name) => [name, 0]));
  for (let lot = 0; lot < lots; lot++) {
    const [shift, width, fines] = [0, 1, 2].map(() => departures(scatter, runs, chance));
    const each = Array.from({ length: runs }, (_, i) =>
      quantitiesOf(measure(powder, departure(shift?.[i] ?? 0, width?.[i] ?? 0, fines?.[i] ?? 0))),
    );
    for (const name of names) {
      const { low, high } = overRuns(
        each.map((run) => run[name] ?? null),
        0.95,
      );
      const value = truth[name] ?? Number.NaN;
      if (low !== null && high !== null && value >= low && value <= high)
        held.set(name, (held.get(name) ?? 0) + 1);
    }
  }
  return names.map((quantity) => ({
    powder: powder.name,
    scatter,
    runs,
    quantity,
    lots,
    share: (held.get(quantity) ?? 0) / lots,
  }));
}

/** Of each run in turn a value of mean 0 and standard deviation 1 (of subsamples √2). */
function departures(scatter: ScatterKind, runs: number, chance: Chance): number[] {
  const each = (draw: () => number) => Array.from({ length: runs }, draw);
  if (scatter === "skewed") return each(() => chance.skewed(4));
  if (scatter === "strongly skewed") return each(() => chance.skewed(2));
  if (scatter === "normal") return each(chance.normal);
  if (scatter === "two subsamples") {
    const shared = [chance.normal(), chance.normal()];
    return each(chance.normal).map((own, i) => own + (shared[i < runs / 2 ? 0 : 1] ?? 0));
  }
  let last = chance.normal();
  return each(() => {
    const now = last;
    last = 0.5 * last + Math.sqrt(0.75) * chance.normal();
    return now;
  });
}

/** A run's departure: 1.2 % in size, 0.8 % in width, 8 % of the fines. */
function departure(shift: number, width: number, fines: number): Departure {
  return { shiftLn: 0.012 * shift, width: 0.008 * width, fines: 0.08 * fines };
}

/** What a run says, by name: percentiles, area, and the parameters of the two families of the hot path. */
function quantitiesOf(m: SizeDistribution): Record<string, number> {
  const curve = curveOf(m);
  const points = fitPoints(m, "edges");
  const shape = shapeOf(curve) ?? { d50Um: 1, widthLn: 1 };
  const normal = logNormal.free.fromFree(solveSlid(logNormal, points, shape).parameters);
  const rosin = rosinRammler.free.fromFree(solveSlid(rosinRammler, points, shape).parameters);
  return {
    D10: sizeAt(curve, 0.1) ?? Number.NaN,
    D50: sizeAt(curve, 0.5) ?? Number.NaN,
    D90: sizeAt(curve, 0.9) ?? Number.NaN,
    "geometric area": geometricSurface(m, 4.55)?.m2PerG ?? Number.NaN,
    "log-normal median": normal.medianUm,
    "log-normal GSD": normal.gsd,
    "Rosin–Rammler size": rosin.characteristicUm,
    "Rosin–Rammler exponent": rosin.spreadExponent,
  };
}
