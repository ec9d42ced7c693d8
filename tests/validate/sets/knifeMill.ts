import { type Curve, sizeAt } from "#distributions/curve.ts";
import {
  type CoefficientPrior,
  type Prediction,
  posteriorOf,
  predict,
} from "#model/mill/trials/posterior.ts";
import { negativeOf, sumOf, thinPrediction } from "#model/mill/trials/predictionMixture.ts";
import { curvaturePrior, usualPriors } from "#model/mill/trials/priors.ts";
import { noisePriorOf, widthPriorsOf } from "#model/mill/trials/trialFit.ts";
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
  const law = (of: (p: Product) => number, priors: readonly CoefficientPrior[]) =>
    thinPrediction(
      predict(posteriorOf(others.map(rowOf), others.map(of), priors, noisePriorOf(usualPriors)), rowOf(left)),
      8,
    );
  const [width = { mean: 0, sd: 1 }, slope = { mean: 0, sd: 1 }] = widthPriors;
  // No wheel's cut stands behind the middle, so nothing is believed of it.
  const d50 = law((p) => p.d50, [{ mean: 0, sd: null }, usualPriors.speed, curvaturePrior]);
  const coarse = law((p) => p.d90 - p.d50, [width, slope, slope]);
  const fine = law((p) => p.d50 - p.d10, [width, slope, slope]);
  const isIn = (at: Prediction, value: number) => {
    const p = chanceBelow(at, value);
    return p >= 0.05 && p <= 0.95;
  };
  return [
    ["D10", isIn(sumOf(d50, negativeOf(fine)), left.d10)],
    ["D50", isIn(d50, left.d50)],
    ["D90", isIn(sumOf(d50, coarse), left.d90)],
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
