import { curveOf, sizeAt } from "#distributions/curve.ts";
import { rosinRammler } from "#distributions/families/rosinRammler.ts";
import { meanDiameterUm } from "#distributions/moments.ts";
import { type SizeDistribution, sizeDistribution } from "#distributions/sizeDistribution.ts";
import { type CheckGroup, table } from "../check.ts";

const topic = "Worked examples of textbooks";

/** Single sizes as classes whose arithmetic mids they are. */
function spheres(edges: readonly number[], counts: readonly number[]): SizeDistribution {
  const all = counts.reduce((a, b) => a + b, 0);
  return sizeDistribution({
    quantity: "number",
    inClass: "arithmetic-mid",
    lowerUm: edges.slice(0, -1),
    upperUm: edges.slice(1),
    shares: counts.map((n) => n / all),
  });
}

const linearByMass: CheckGroup = {
  topic,
  kind: "printed",
  source: {
    short: "Coulson & Richardson 2, example 1.1",
    full: "J. M. Coulson and J. F. Richardson, Chemical Engineering, vol. 2, example 1.1 (mass rising straight from 0 % at 1 µm to 100 % at 101 µm).",
    reading: "from memory",
  },
  checks: () => {
    const m = sizeDistribution({
      quantity: "volume",
      inClass: "uniform",
      lowerUm: [1],
      upperUm: [101],
      shares: [1],
    });
    return [{ quantity: "surface mean, µm", published: "21.7", ours: () => meanDiameterUm(m, 3, 2) }];
  },
};

const threeSpheres: CheckGroup = {
  topic,
  kind: "printed",
  source: {
    short: "three spheres",
    full: "Three spheres of 1, 2 and 3 µm: a commonplace of powder textbooks.",
    reading: "from memory",
  },
  checks: () =>
    table<[number, number]>(
      [
        ["D[1,0] of spheres of 1, 2 and 3 µm", "2.00", 1, 0],
        ["D[2,0]", "2.16", 2, 0],
        ["D[3,0]", "2.29", 3, 0],
        ["D[2,1]", "2.33", 2, 1],
        ["D[3,2]", "2.57", 3, 2],
        ["D[4,3]", "2.72", 4, 3],
      ],
      (p, q) => meanDiameterUm(spheres([0.5, 1.5, 2.5, 3.5], [1, 1, 1]), p, q),
    ),
};

const thousandAndOne = spheres([0.5, 1.5, 99, 101], [1000, 0, 1]);

const oneLargeSphere: CheckGroup = {
  topic,
  kind: "printed",
  source: {
    short: "pharmacy course page",
    full: "A pharmacy course page: a thousand spheres of 1 µm and one of 100 µm.",
    reading: "read",
  },
  checks: () => [
    {
      quantity: "number mean of a thousand 1 µm and one 100 µm, µm",
      published: "1.10",
      ours: () => meanDiameterUm(thousandAndOne, 1, 0),
    },
  ],
};

const oneLargeSphereByVolume: CheckGroup = {
  topic,
  kind: "printed",
  source: {
    short: "textbook commonplace",
    full: "The same thousand and one spheres by volume, as textbooks have them.",
    reading: "from memory",
  },
  checks: () => [
    { quantity: "their D[4,3], µm", published: "99.9", ours: () => meanDiameterUm(thousandAndOne, 4, 3) },
  ],
};

const dropSample: CheckGroup = {
  topic,
  kind: "printed",
  source: {
    short: "ASTM E799, sample",
    full: "ASTM E799, sample of drop counts (drops spread evenly inside each class).",
    reading: "from memory",
  },
  checks: () => {
    const edges = [240, 360, 450, 562.5, 703, 878, 1097, 1371, 1713, 2141, 2676, 3345, 4181, 5226, 6532];
    const counts = [65, 119, 232, 410, 629, 849, 990, 981, 825, 579, 297, 111, 21, 1];
    const m = sizeDistribution({ ...spheres(edges, counts), inClass: "uniform" });
    return [
      { quantity: "D[1,0], µm", published: "1459.37", ours: () => meanDiameterUm(m, 1, 0) },
      { quantity: "D[3,2], µm", published: "2269.3", ours: () => meanDiameterUm(m, 3, 2) },
    ];
  },
};

const spray: CheckGroup = {
  topic,
  kind: "printed",
  source: {
    short: "root-normal sprays",
    full: "H. C. Simmons's ratio of a spray's median to its Sauter mean, met by a Rosin–Rammler exponent near 3.",
    reading: "from memory",
  },
  checks: () => [
    {
      quantity: "D50/D[3,2] of Rosin–Rammler, n 3",
      published: "1.20",
      ours: () => {
        const p = { characteristicUm: 1, spreadExponent: 3 };
        return rosinRammler.quantile(p, 0.5) * (rosinRammler.moment(p, -1) ?? Number.NaN);
      },
    },
  ],
};

/** Mass below, between and above sizes, as an impactor gives it. */
function impactor(sizes: readonly number[], milligrams: readonly number[]): SizeDistribution {
  const all = milligrams.reduce((a, b) => a + b, 0);
  const shares = milligrams.map((mg) => mg / all);
  return sizeDistribution({
    quantity: "volume",
    lowerUm: sizes.slice(0, -1),
    upperUm: sizes.slice(1),
    shares: shares.slice(1, -1),
    belowShare: shares[0] ?? 0,
    aboveShare: shares.at(-1) ?? 0,
  });
}

const training: CheckGroup = {
  topic,
  kind: "printed",
  source: {
    short: "air-pollution training text",
    full: "A training text of the US Environmental Protection Agency, two log-normal problems solved on graph paper.",
    reading: "from memory",
  },
  checks: () => {
    const coarse = impactor([2, 5, 9, 15, 25], [1, 14.5, 24.7, 59.8, 68.3, 31.7]);
    const fine = impactor([0.6, 1, 1.2, 3, 8, 10], [25.5, 33.15, 17.85, 102, 63.75, 5.1, 7.65]);
    return table<[SizeDistribution]>(
      [
        ["D50 of problem A, µm", "15", coarse],
        ["D50 of problem B, µm", "1.9", fine],
      ],
      (m) => sizeAt(curveOf(m), 0.5),
    );
  },
};

export const textbookExamples: readonly CheckGroup[] = [
  linearByMass,
  threeSpheres,
  oneLargeSphere,
  oneLargeSphereByVolume,
  dropSample,
  spray,
  training,
];
