import { chanceInBand } from "#model/mill/prediction/chanceInBand.ts";
import { judgedRows } from "#model/mill/prediction/judgedRows.ts";
import { productAtRow, thinned } from "#model/mill/prediction/predictedProduct.ts";
import { type CoefficientPrior, posteriorOf, type RegressionPoint } from "#model/mill/trials/posterior.ts";
import { usualPriors } from "#model/mill/trials/priors.ts";
import { meanExponents } from "#model/mill/trials/trialFit.ts";
import { fitWidths, widthPriorsOf } from "#model/mill/trials/widthLaws.ts";
import { endOf } from "#model/mill/trials/widthPrediction.ts";
import { mixtureQuantile } from "#model/numbers/normalMixture.ts";
import { type Chance, chanceFrom } from "./chance.ts";
import { designs, dot, millNoise, millPriors, noiseFromPrior, rowAtLn } from "./mill.ts";

/** Fixed before the first run. */
const seed = 61_132;
const widthPriors = widthPriorsOf(usualPriors);

/** ln D50, ln(D90/D50) and ln(D50/D10) of a run. */
interface Run {
  readonly d50: number;
  readonly coarse: number;
  readonly fine: number;
}

/** How the errors of a run's D10, D50 and D90 hang together. */
interface Errors {
  readonly errors: string;
  /** From three independent normal values and the noises of D50 and of each width. */
  readonly of: (z: readonly [number, number, number], noise: Noises) => readonly [number, number, number];
}

interface Noises {
  readonly d50: number;
  readonly coarse: number;
  readonly fine: number;
}

const errorsOfRuns: readonly Errors[] = [
  {
    errors: "widths by themselves",
    of: ([a, b, c], n) => [n.d50 * a, n.coarse * b, n.fine * c],
  },
  {
    errors: "D10, D50 and D90 by themselves",
    of: ([a, b, c], n) => [n.d50 * a, n.d50 * (b - a), n.d50 * (a - c)],
  },
  {
    errors: "broad on both sides at once",
    of: ([a, b, c], n) => [n.d50 * a, n.coarse * b, n.fine * (0.9 * b + Math.sqrt(0.19) * c)],
  },
  {
    errors: "coarse runs narrower",
    of: ([a, b, c], n) => [
      n.d50 * a,
      0.5 * n.coarse * b - 0.5 * n.d50 * a,
      0.5 * n.fine * c - 0.5 * n.d50 * a,
    ],
  },
];

export interface Calibration {
  readonly errors: string;
  /** Fifth of the chance foretold: 0 for 0–20 %. */
  readonly fifth: number;
  readonly cases: number;
  readonly foretold: number;
  readonly happened: number;
  /** Share of the runs whose D10, and D90, lay inside its 90 % interval. */
  readonly d10Held: number;
  readonly d90Held: number;
}

/** What was foretold of D10, D50 and D90 all in band against how often it happened; laws from the priors, errors as they may hang together. */
export function inBandCalibration(casesEach: number): Calibration[] {
  return errorsOfRuns.flatMap(({ errors, of }, e) => {
    const chance = chanceFrom(seed + e);
    const found = Array.from({ length: casesEach }, (_, k) => campaign(chance, of, k));
    return [0, 1, 2, 3, 4].map((fifth): Calibration => {
      const own = found.filter((one) => Math.min(4, Math.floor(5 * one.foretold)) === fifth);
      const share = (is: (one: (typeof own)[number]) => boolean) => own.filter(is).length / own.length;
      return {
        errors,
        fifth,
        cases: own.length,
        foretold: own.reduce((sum, one) => sum + one.foretold, 0) / own.length,
        happened: share((one) => one.isIn),
        d10Held: share((one) => one.isD10Held),
        d90Held: share((one) => one.isD90Held),
      };
    });
  });
}

function campaign(chance: Chance, errorsOf: Errors["of"], k: number) {
  const rows = designs[k % designs.length]?.rows ?? [];
  const run = truth(chance, errorsOf);
  const runs = rows.map(run);
  const laws = learned(rows, runs);
  const at = rowAtLn(0.5 * (chance.even() - 0.5));
  const product = productAtRow(thinned(laws), at, null);
  const next = run(at);
  const [d10, d90] = [product.fine, product.coarse].map((width, i) =>
    width === null ? null : endOf(product.d50, width, i === 0 ? -1 : 1, 8),
  );
  if (d10 == null || d90 == null) throw new Error("widths were learned");
  const holds = (p: typeof d10, ln: number) =>
    ln >= mixtureQuantile(p, 0.05) && ln <= mixtureQuantile(p, 0.95);
  // A band about where the run is expected, of any width, so that every chance comes up.
  const moved = 0.03 * chance.normal();
  const half = 0.02 * Math.exp(4 * chance.even());
  const band = (limit: string, ln: number) => ({
    limit,
    low: Math.exp(ln + moved - half),
    high: Math.exp(ln + moved + half),
  });
  const limits = {
    d10: band("d10Um", mixtureQuantile(d10, 0.5)),
    d50: band("d50Um", mixtureQuantile(product.d50, 0.5)),
    d90: band("d90Um", mixtureQuantile(d90, 0.5)),
  };
  const inside = ({ low, high }: { low: number; high: number }, ln: number) =>
    Math.exp(ln) >= low && Math.exp(ln) <= high;
  return {
    foretold: chanceInBand(product, judgedRows(Object.values(limits), product)),
    isIn:
      inside(limits.d50, next.d50) &&
      inside(limits.d90, next.d50 + next.coarse) &&
      inside(limits.d10, next.d50 - next.fine),
    isD10Held: holds(d10, next.d50 - next.fine),
    isD90Held: holds(d90, next.d50 + next.coarse),
  };
}

/** A mill's law of D50 and of both widths, drawn from the priors, and its runs. */
function truth(chance: Chance, errorsOf: Errors["of"]): (row: readonly number[]) => Run {
  const draw = (priors: readonly CoefficientPrior[]) =>
    priors.slice(0, 5).map(({ mean, sd }) => mean + (sd ?? 0) * chance.normal());
  const laws = { d50: draw(millPriors), coarse: draw(widthPriors), fine: draw(widthPriors) };
  const noises = {
    d50: noiseFromPrior(chance),
    coarse: noiseFromPrior(chance),
    fine: noiseFromPrior(chance),
  };
  return (row) => {
    const [d50, coarse, fine] = errorsOf([chance.normal(), chance.normal(), chance.normal()], noises);
    return {
      d50: dot(row, laws.d50) + d50,
      coarse: dot(row, laws.coarse) + coarse,
      fine: dot(row, laws.fine) + fine,
    };
  };
}

function learned(rows: readonly (readonly number[])[], runs: readonly Run[]) {
  const by = (from: readonly RegressionPoint[], priors: readonly CoefficientPrior[]) =>
    posteriorOf(
      from.map((point) => point.row),
      from.map((point) => point.y),
      priors,
      millNoise,
    );
  const points = runs.map(({ d50 }, i) => ({ row: rows[i] ?? [], y: d50 }));
  const sizes = runs.map(({ d50, coarse, fine }) => ({
    d10Um: Math.exp(d50 - fine),
    d50Um: Math.exp(d50),
    d90Um: Math.exp(d50 + coarse),
  }));
  const posterior = by(points, millPriors);
  const widths = fitWidths(points, sizes, meanExponents(posterior), (from) => by(from, widthPriors));
  return { posterior, ...widths };
}
