import { logNormal } from "#distributions/families/logNormal.ts";
import { sizeDistribution } from "#distributions/sizeDistribution.ts";
import { aerodynamicUm } from "#model/fines/aerodynamic.ts";
import { conventionalShare, type Fraction } from "#model/fines/conventions.ts";
import { fineFractions } from "#model/fines/fineFractions.ts";
import { type CheckGroup, table } from "../check.ts";

const topic = "Fine fractions";

const percent = (fraction: Fraction, um: number) => 100 * conventionalShare(fraction, um);

const slides: CheckGroup = {
  topic,
  kind: "printed",
  source: {
    short: "EN 481 on slides",
    full: "Slides of an industrial-minerals association on the size-weighted respirable fraction: the respirable probability of EN 481 at three sizes.",
    reading: "read",
  },
  checks: () =>
    table<[number]>(
      [
        ["respirable at 1 µm, %", "97.1", 1],
        ["respirable at 5 µm, %", "30", 5],
        ["respirable at 10 µm, %", "1.3", 10],
      ],
      (um) => percent("respirable", um),
      { by: "difference", atMost: 0.06 },
    ),
};

const roundedTable: CheckGroup = {
  topic,
  kind: "printed",
  source: {
    short: "rounded table of the conventions",
    full: "The rounded collection efficiencies that hygienists' limit lists print for the conventions of ISO 7708:1995.",
    reading: "from memory",
  },
  checks: () =>
    table<[Fraction, number]>(
      [
        ["inhalable at 1 µm, %", "97", "inhalable", 1],
        ["inhalable at 5 µm, %", "87", "inhalable", 5],
        ["inhalable at 10 µm, %", "77", "inhalable", 10],
        ["inhalable at 20 µm, %", "65", "inhalable", 20],
        ["inhalable at 30 µm, %", "58", "inhalable", 30],
        ["inhalable at 40 µm, %", "54.5", "inhalable", 40],
        ["inhalable at 50 µm, %", "52.5", "inhalable", 50],
        ["inhalable at 100 µm, %", "50", "inhalable", 100],
        ["thoracic at 2 µm, %", "94", "thoracic", 2],
        ["thoracic at 4 µm, %", "89", "thoracic", 4],
        ["thoracic at 6 µm, %", "80.5", "thoracic", 6],
        ["thoracic at 8 µm, %", "67", "thoracic", 8],
        ["thoracic at 10 µm, %", "50", "thoracic", 10],
        ["thoracic at 12 µm, %", "35", "thoracic", 12],
        ["thoracic at 14 µm, %", "23", "thoracic", 14],
        ["thoracic at 16 µm, %", "15", "thoracic", 16],
        ["thoracic at 18 µm, %", "9.5", "thoracic", 18],
        ["thoracic at 20 µm, %", "6", "thoracic", 20],
        ["thoracic at 25 µm, %", "2", "thoracic", 25],
        ["respirable at 1 µm, %", "97", "respirable", 1],
        ["respirable at 2 µm, %", "91", "respirable", 2],
        ["respirable at 3 µm, %", "74", "respirable", 3],
        ["respirable at 4 µm, %", "50", "respirable", 4],
        ["respirable at 5 µm, %", "30", "respirable", 5],
        ["respirable at 6 µm, %", "17", "respirable", 6],
        ["respirable at 7 µm, %", "9", "respirable", 7],
        ["respirable at 8 µm, %", "5", "respirable", 8],
        ["respirable at 10 µm, %", "1", "respirable", 10],
      ],
      percent,
      // The table rounds to whole or half per cents.
      { by: "difference", atMost: 0.5 },
    ),
};

const lungModel: CheckGroup = {
  topic,
  kind: "printed",
  source: {
    short: "ICRP 66 default aerosol",
    full: "ICRP Publication 66: the default worker aerosol of 5 µm aerodynamic, density 3 g/cm³, shape factor 1.5, is 3.5 µm in thermodynamic diameter.",
    reading: "from memory",
  },
  checks: () => [
    {
      quantity: "aerodynamic diameter of 3.5 µm at 3 g/cm³, shape factor 1.5, µm",
      published: "5",
      ours: () => aerodynamicUm(3.5, 3, 1.5),
      tolerance: { by: "ratio", atMost: 0.02 },
    },
  ],
};

const identities: CheckGroup = {
  topic,
  kind: "identity",
  source: {
    short: "closed form",
    full: "A sphere of 1 g/cm³ is its own aerodynamic diameter; a powder of one size has the convention's own share.",
    reading: "read",
  },
  checks: () => [
    {
      quantity: "aerodynamic diameter of 2 µm at 1 g/cm³, µm",
      published: "2.0000",
      ours: () => aerodynamicUm(2, 1, 1),
    },
    {
      quantity: "respirable share of a powder all within 0.1 % of 5 µm, 1 g/cm³, less the convention's",
      published: "0",
      ours: () => {
        const one = sizeDistribution({
          quantity: "volume",
          lowerUm: [4.9975],
          upperUm: [5.0025],
          shares: [1],
        });
        return (fineFractions(one, 1, 1)?.respirable.low ?? Number.NaN) - conventionalShare("respirable", 5);
      },
      tolerance: { by: "difference", atMost: 1e-6 },
    },
    {
      quantity: "respirable share of a log-normal (4 µm, 1.7), less a fine Riemann sum",
      published: "0",
      ours: () => {
        const p = { medianUm: 4, gsd: 1.7 };
        const edges = Array.from({ length: 201 }, (_, i) => 0.05 * 8000 ** (i / 200));
        const q = edges.map((x) => logNormal.cdf(p, x));
        const m = sizeDistribution({
          quantity: "volume",
          lowerUm: edges.slice(0, -1),
          upperUm: edges.slice(1),
          shares: q.slice(1).map((v, i) => v - (q[i] ?? 0)),
          belowShare: q[0] ?? 0,
          aboveShare: 1 - (q.at(-1) ?? 1),
        });
        let sum = 0;
        for (let i = 0; i < 20_000; i++) {
          const x = logNormal.quantile(p, (i + 0.5) / 20_000);
          sum += conventionalShare("respirable", aerodynamicUm(x, 4.55, 1.2));
        }
        return (fineFractions(m, 4.55, 1.2)?.respirable.low ?? Number.NaN) - sum / 20_000;
      },
      tolerance: { by: "difference", atMost: 2e-4 },
    },
  ],
};

export const fineFractionChecks: readonly CheckGroup[] = [slides, roundedTable, lungModel, identities];
