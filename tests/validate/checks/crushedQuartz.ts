import { curveOf, undersizeAt } from "#distributions/curve.ts";
import { arithmeticMeanUm, geometricSurface, meanDiameterUm, meanOfPower } from "#distributions/moments.ts";
import type { Check, CheckGroup, Tolerance } from "../check.ts";
import { screens, withoutPan } from "./screens.ts";

const topic = "Sieve and screen analyses";

/** Opening mm, share retained there, printed mean diameter, printed share smaller; from coarse to fine, the pan apart. */
const quartz: readonly (readonly [number, number, string, string])[] = [
  [4.699, 0, "", "1"],
  [3.327, 0.0251, "4.013", "0.9749"],
  [2.362, 0.125, "2.845", "0.8499"],
  [1.651, 0.3207, "2.007", "0.5292"],
  [1.168, 0.257, "1.409", "0.2722"],
  [0.833, 0.159, "1.001", "0.1132"],
  [0.589, 0.0538, "0.711", "0.0594"],
  [0.417, 0.021, "0.503", "0.0384"],
  [0.295, 0.0102, "0.356", "0.0282"],
  [0.208, 0.0077, "0.252", "0.0205"],
  [0.147, 0.0058, "0.178", "0.0147"],
  [0.104, 0.0041, "0.126", "0.0106"],
  [0.074, 0.0031, "0.089", "0.0075"],
];
const quartzPan = 0.0075;

const crushed = screens(quartz, quartzPan);

const screenTable: CheckGroup = {
  topic,
  kind: "printed",
  source: {
    short: "McCabe, Smith & Harriott, table 28.2",
    full: "W. L. McCabe, J. C. Smith and P. Harriott, Unit Operations of Chemical Engineering, 7th ed., table 28.2 (crushed quartz).",
    reading: "read",
  },
  checks: () => [
    ...quartz.slice(1).map(
      ([opening, , printed], i): Check => ({
        quantity: `mean diameter over ${opening} mm, mm`,
        published: printed,
        ours: () => meanOfPower(opening, quartz[i]?.[0] ?? 0, 1, "arithmetic-mid"),
      }),
    ),
    ...quartz.slice(1).map(
      ([opening, , , printed]): Check => ({
        quantity: `share smaller than ${opening} mm`,
        published: printed,
        ours: () => undersizeAt(curveOf(crushed), opening),
      }),
    ),
  ],
};

/** The book sums its rounded mean diameters, so its last digit may be one off. */
const bookSums: Tolerance = { by: "ratio", atMost: 5e-4 };
const sphericity = 0.571;
const density = 2.65;

const screenExample: CheckGroup = {
  topic,
  kind: "printed",
  source: {
    short: "McCabe, Smith & Harriott, example 28.1",
    full: "W. L. McCabe, J. C. Smith and P. Harriott, Unit Operations of Chemical Engineering, 7th ed., example 28.1: results for the quartz of table 28.2 without the pan.",
    reading: "from memory",
  },
  checks: () => {
    const whole = withoutPan(crushed);
    const seen = 1 - quartzPan;
    return [
      {
        // 6 Σ(x/D)/ρ in mm and g/cm³ gives 1e-3 m²/g, or mm²/mg; the book's own unit is mm²/g.
        quantity: "specific surface, mm²/g",
        published: "3284",
        ours: () => (1000 * (geometricSurface(whole, density)?.m2PerG ?? Number.NaN) * seen) / sphericity,
        tolerance: bookSums,
      },
      {
        quantity: "surface mean diameter, mm",
        published: "1.207",
        ours: () => (meanDiameterUm(whole, 3, 2) ?? Number.NaN) / seen,
        tolerance: bookSums,
      },
      {
        quantity: "mass mean diameter, mm",
        published: "1.677",
        ours: () => (arithmeticMeanUm(whole) ?? Number.NaN) * seen,
        tolerance: bookSums,
      },
    ];
  },
};

export const crushedQuartz: readonly CheckGroup[] = [screenTable, screenExample];
