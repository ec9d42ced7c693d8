import { type Curve, sizeAt } from "#distributions/curve.ts";
import {
  type CoefficientPrior,
  type Posterior,
  type Prediction,
  posteriorOf,
  predict,
  type RegressionPoint,
} from "#model/mill/trials/posterior.ts";
import { thinPosterior } from "#model/mill/trials/predictionMixture.ts";
import { curvaturePrior, usualPriors } from "#model/mill/trials/priors.ts";
import { meanExponents, noisePriorOf } from "#model/mill/trials/trialFit.ts";
import { fitWidths, widthPriorsOf } from "#model/mill/trials/widthLaws.ts";
import { endOf, widthFrom } from "#model/mill/trials/widthPrediction.ts";
import { chanceBelow } from "#model/numbers/normalMixture.ts";
import type { Measure, WholeSet } from "../check.ts";
import { readRows } from "../readFile.ts";

/** A product of the mill, as ln of its percentiles. */
interface Product {
  readonly series: string;
  readonly hertz: number;
  readonly d10: number;
  readonly d50: number;
  readonly d90: number;
}

const widthPriors = widthPriorsOf(usualPriors);

/** Whether a value of the speed left out lies in the 90 % interval of the other two, by the law that the wheel plan uses; 1 or 0. */
function heldBy(others: readonly Product[], left: Product): readonly (readonly [string, boolean])[] {
  const reference = others.reduce((sum, p) => sum + Math.log(p.hertz), 0) / others.length;
  const rowOf = ({ hertz }: Product) => {
    const x = Math.log(hertz) - reference;
    return [1, x, x ** 2];
  };
  const [width, slope] = widthPriors;
  const departure = widthPriors.at(-1);
  if (width === undefined || slope === undefined || departure === undefined)
    throw new Error("priors of widths");
  const learned = (from: readonly RegressionPoint[], priors: readonly CoefficientPrior[]) =>
    posteriorOf(
      from.map((point) => point.row),
      from.map((point) => point.y),
      priors,
      noisePriorOf(usualPriors),
    );
  const points = others.map((p) => ({ row: rowOf(p), y: p.d50 }));
  const sizes = others.map((p) => ({
    d10Um: Math.exp(p.d10),
    d50Um: Math.exp(p.d50),
    d90Um: Math.exp(p.d90),
  }));
  // No wheel's cut stands behind the middle, so nothing is believed of it.
  const law = learned(points, [{ mean: 0, sd: null }, usualPriors.speed, curvaturePrior]);
  const { coarseWidth, fineWidth } = fitWidths(points, sizes, meanExponents(law), (from) =>
    learned(from, [width, slope, slope, departure]),
  );
  const d50 = predict(law, rowOf(left));
  const endBy = (of: Posterior | null, side: 1 | -1) => {
    if (of === null) throw new Error("widths were measured");
    const expected = { d50, milledVariance: Number.POSITIVE_INFINITY };
    const wide = widthFrom(thinPosterior(of, 8), rowOf(left), expected);
    return endOf(d50, wide, side, 8);
  };
  const isIn = (at: Prediction, value: number) => {
    const p = chanceBelow(at, value);
    return p >= 0.05 && p <= 0.95;
  };
  return [
    ["D10", isIn(endBy(fineWidth, -1), left.d10)],
    ["D50", isIn(d50, left.d50)],
    ["D90", isIn(endBy(coarseWidth, 1), left.d90)],
  ];
}

function productsOf(folder: string): Product[] {
  const rows = readRows(`${folder}/products_long.csv`).filter((row) => row["mill"] === "pilot");
  const keyOf = (row: Record<string, string>) =>
    [row["moisture_percent"], row["screen_mm"], row["frequency_hz"]].join(" ");
  return [...new Set(rows.map(keyOf))].flatMap((key) => {
    const own = rows
      .filter((row) => keyOf(row) === key)
      .map((row) => ({ size: Number(row["size_mm"]), undersize: Number(row["undersize"]) }))
      .sort((a, b) => a.size - b.size);
    const curve: Curve = {
      edgesUm: own.map(({ size }) => size),
      undersize: own.map(({ undersize }) => undersize),
      power: 0,
    };
    const [d10, d50, d90] = [0.1, 0.5, 0.9].map((p) => sizeAt(curve, p));
    const [moisture, screen, hertz] = key.split(" ");
    return d10 == null || d50 == null || d90 == null
      ? []
      : [
          {
            series: `moisture ${moisture} %, screen ${screen} mm`,
            hertz: Number(hertz),
            d10: Math.log(d10),
            d50: Math.log(d50),
            d90: Math.log(d90),
          },
        ];
  });
}

/** Three rotor speeds in each of four series: every speed is left out once and foretold from the other two. */
export const knifeMill: WholeSet = {
  source: {
    short: "knife mill, corn stalk",
    full: "idaholab/SPRITE, PBM/Dataset, commit 24ab2b8, MIT licence; Lu and others (2024), Powder Technology 441, 119830: products of a pilot knife mill at 40, 50 and 60 Hz.",
    reading: "read",
  },
  kind: "printed",
  needs: "open/knife_mill",
  convention:
    "a screen mill without a wheel: it tests the law over speed and nothing of a cut; each speed foretold from the other two",
  measures: (folder): Measure[] => {
    const products = productsOf(folder);
    const rows = products.flatMap((left) => {
      const others = products.filter((p) => p.series === left.series && p !== left);
      return heldBy(others, left).map(([what, isHeld]) => ({
        what,
        name: `${left.series}, ${left.hertz} Hz`,
        isHeld,
      }));
    });
    return ["D10", "D50", "D90"].map((what) => {
      const own = rows.filter((row) => row.what === what);
      const held = own.filter((row) => row.isHeld).length;
      return {
        quantity: `${what} of the speed left out, share in its 90 % interval`,
        // Twelve of a nominal 90 %: fewer than nine would be short by chance in one case of forty.
        tolerance: { by: "difference", atMost: 0.9 - 9 / 12 + 1e-9 },
        rows: [{ name: `${held} of ${own.length}`, published: 0.9, ours: held / Math.max(1, own.length) }],
      };
    });
  },
};
