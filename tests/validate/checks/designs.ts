import { itemAt } from "#distributions/lists.ts";
import { regressionOn } from "#model/factors/regression.ts";
import { type CheckGroup, type Tolerance, table } from "../check.ts";

const topic = "Settings and results";

/** The 2³ design in standard order, −1 and 1. */
const places = [0, 1, 2].map((bit) => Array.from({ length: 8 }, (_, run) => ((run >> bit) & 1 ? 1 : -1)));
/** Sensitivity of a probe at turns, winding distance and wire gauge of either level. */
const sensitivity = [1.7, 4.57, 0.55, 3.39, 1.51, 4.59, 0.67, 4.29];
const design = regressionOn(places, sensitivity);

const eddyCurrent: CheckGroup = {
  topic,
  kind: "printed",
  source: {
    short: "NIST/SEMATECH e-Handbook, 5.6.1",
    full: "NIST/SEMATECH e-Handbook of Statistical Methods, section 5.6.1, eddy current probe sensitivity: a full 2³ design and its effects (between the levels: twice the slope).",
    reading: "from memory",
  },
  checks: () =>
    table<[number | undefined]>(
      [
        ["mean of a 2³ design", "2.65875", design?.meanOfResult],
        ["effect of its first factor", "3.10250", doubled(0)],
        ["effect of its second factor", "-0.86750", doubled(1)],
        ["effect of its third factor", "0.21250", doubled(2)],
      ],
      (ours) => ours ?? null,
    ),
};

function doubled(place: number): number | undefined {
  return design === null ? undefined : 2 * itemAt(design.slopes, place);
}

/** Powers of 0 … 20, whose columns nearly hang together. */
const xs = Array.from({ length: 21 }, (_, x) => x);
const powers = [1, 2, 3, 4, 5].map((k) => xs.map((x) => x ** k));
const sumOfPowers = xs.map((x) => powers.reduce((sum, column) => sum + itemAt(column, x), 1));
/** Departures of the third of these sets; those of the fourth and fifth are 100 and 10,000 times as large. */
const departures = [
  759, -2048, 2048, -2048, 2523, -2048, 2048, -2048, 1838, -2048, 2048, -2048, 1838, -2048, 2048, -2048, 2523,
  -2048, 2048, -2048, 759,
];

const sixDigits: Tolerance = { by: "leading digits", atLeast: 6 };

const wampler: CheckGroup = {
  topic,
  kind: "printed",
  source: {
    short: "NIST StRD, Wampler",
    full: "NIST Statistical Reference Datasets, linear regression: Wampler 3 and 4, polynomials of the fifth degree. The certified values agree with exact fractions.",
    reading: "from memory",
  },
  checks: () =>
    [
      {
        name: "Wampler 3",
        times: 1,
        sd: "2360.14502379268",
        errors: [
          "2363.55173469681",
          "779.343524331583",
          "101.475507550350",
          "5.64566512170752",
          "0.112324854679312",
        ],
      },
      {
        name: "Wampler 4",
        times: 100,
        sd: "236014.502379268",
        errors: [
          "236355.173469681",
          "77934.3524331583",
          "10147.5507550350",
          "564.566512170752",
          "11.2324854679312",
        ],
      },
    ].flatMap(({ name, times, sd, errors }) => {
      const y = sumOfPowers.map((value, x) => value + times * itemAt(departures, x));
      const fit = regressionOn(powers, y);
      return table<[number | undefined]>(
        [
          [`${name}: residual standard deviation`, sd, fit?.residualSd],
          ...errors.flatMap(
            (error, j) =>
              [
                [`${name}: coefficient of x^${j + 1}`, "1.00000000000000", fit?.slopes[j]],
                [`${name}: its standard error`, error, fit?.standardErrors[j]],
              ] as const,
          ),
        ],
        (ours) => ours ?? null,
        sixDigits,
      );
    }),
};

export const designs: readonly CheckGroup[] = [eddyCurrent, wampler];
