import { weightedMeans } from "#model/factors/drift.ts";
import { individuals, movingRangeFactor } from "#model/factors/individuals.ts";
import { type CheckGroup, table } from "../check.ts";

const topic = "Charts over lots";
/** Ten batches of the handbook's example of flow rates. */
const flowRates = [49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1];
const chart = individuals(flowRates);

/** Twenty values of the handbook's example of a weighted mean. */
const twenty = [
  52, 47, 53, 49.3, 50.1, 47, 51, 50.1, 51.2, 50.5, 49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6,
  52.1,
];
const smoothed = weightedMeans(twenty, 50, 0.3);

/** The mean of the range of two standard normals, worked out: 2/√π. */
const rangeOfTwo = 2 / Math.sqrt(Math.PI);

export const individualsCharts: readonly CheckGroup[] = [
  {
    topic,
    kind: "printed",
    source: {
      short: "NIST/SEMATECH e-Handbook, 6.3.2.2",
      full: "NIST/SEMATECH e-Handbook of Statistical Methods, section 6.3.2.2, individuals control charts: the example of ten flow rates.",
      reading: "from memory",
    },
    checks: () =>
      table<[number | undefined]>(
        [
          ["middle of the chart of ten flow rates", "50.81", chart?.middle],
          ["its upper limit", "55.8041", chart?.high],
          ["its lower limit", "45.8159", chart?.low],
          ["limits in mean moving ranges, 3/d2", "2.66", 3 / movingRangeFactor],
        ],
        (ours) => ours ?? null,
      ),
  },
  {
    topic,
    kind: "printed",
    source: {
      short: "NIST/SEMATECH e-Handbook, 6.3.2.4",
      full: "NIST/SEMATECH e-Handbook of Statistical Methods, section 6.3.2.4, exponentially weighted moving averages: the example of twenty values, start 50, weight 0.3.",
      reading: "from memory",
    },
    checks: () =>
      table<[number]>(
        [
          ["weighted mean after the first of twenty values", "50.60", 0],
          ["after the second", "49.52", 1],
          ["after the eleventh", "50.11", 10],
          ["after the nineteenth", "51.94", 18],
          ["after the last", "51.99", 19],
        ],
        (at) => smoothed[at] ?? null,
      ),
  },
  {
    topic,
    kind: "identity",
    source: {
      short: "range of two",
      full: "The mean range of two standard normal values is 2/√π; the handbook's 1.128 is that, rounded.",
      reading: "read",
    },
    checks: () => [{ quantity: "d2 for two values", published: "1.128", ours: () => rangeOfTwo }],
  },
];
