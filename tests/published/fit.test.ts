import { readFileSync } from "node:fs";
import Papa from "papaparse";
import { describe, expect, test } from "vitest";
import { curveOf, sizeAt } from "#distributions/curve.ts";
import { logNormal } from "#distributions/families/logNormal.ts";
import { rosinRammler } from "#distributions/families/rosinRammler.ts";
import { measured, type NamedMeasurement } from "#distributions/measured.ts";
import { readTable } from "#distributions/tables/readTable.ts";
import { fitAnswer } from "#model/answers/fitAnswer.ts";
import { leastSquares } from "#model/fit/leastSquares.ts";
import { describeWithData } from "../checkData.ts";

describe("SRM 114q portland cement (NIST SP 260-166 table 8, read second-hand)", () => {
  const table =
    "size_um,undersize by mass as fraction\n1,0.051\n1.5,0.08\n2,0.112\n3,0.163\n4,0.21\n6,0.296\n8,0.376\n12,0.51\n16,0.628\n24,0.808\n32,0.912\n48,0.984\n64,0.997\n96,0.999\n128,0.999\n";
  const { measurements, problems } = readTable(table, "cement.csv", {});

  test("D10, D50 and D90 are 1.795, 11.64 and 30.96 µm", () => {
    expect(problems.filter((p) => p.severity !== "note")).toEqual([]);
    const [cement] = measurements;
    const at = (q: number) => (cement === undefined ? 0 : (sizeAt(curveOf(cement.distribution), q) ?? 0));
    expect(at(0.1)).toBeCloseTo(1.795, 3);
    expect(at(0.5)).toBeCloseTo(11.64, 2);
    expect(at(0.9)).toBeCloseTo(30.96, 2);
  });

  test("Rosin–Rammler beats log-normal on it, and both converge", () => {
    const { fits, sentence } = fitAnswer(measurements, { families: ["log-normal", "rosin-rammler"] });
    const [normal, rosin] = fits;
    expect(fits.map((f) => f.status)).toEqual(["converged", "converged"]);
    expect(rosin?.rmsPoints ?? 9).toBeLessThan(normal?.rmsPoints ?? 0);
    expect(sentence).toMatch(/Rosin–Rammler curve describes the powder better/);
  });
});

test("BCR-066 quartz (certificate 1979, revised 2007): D50 1.131 µm", () => {
  const table =
    "size_um;undersize by mass, fraction\n0.35;0.024\n0.5;0.063\n0.6;0.11\n0.75;0.2\n0.9;0.33\n1.05;0.45\n1.2;0.54\n1.5;0.72\n1.85;0.85\n2.5;0.955\n3.5;0.996\n";
  const [quartz] = readTable(table, "quartz.csv", {}).measurements;
  expect(quartz === undefined ? 0 : sizeAt(curveOf(quartz.distribution), 0.5)).toBeCloseTo(1.131, 3);
});

describe("Hatch–Choate (Encyclopedia of Environmental Science and Engineering, 5th ed., Aerosols table 2; NMD 1, GSD 2)", () => {
  const number = { medianUm: 1, gsd: 2 };
  const raw = (k: number) => logNormal.moment(number, k) ?? Number.NaN;
  test.each([
    ["number mean D[1,0]", raw(1), 1.271537],
    ["length-weighted mean D[2,1]", raw(2) / raw(1), 2.05583],
    ["Sauter D[3,2]", raw(3) / raw(2), 3.323879],
    ["volume-weighted mean D[4,3]", raw(4) / raw(3), 5.37407],
    ["diameter of average volume", raw(3) ** (1 / 3), 2.05583],
    ["harmonic mean", 1 / raw(-1), 0.78645],
  ])("%s", (_, value, printed) => {
    expect(Math.abs(value - printed)).toBeLessThan(5e-6);
  });
});

describe("seven model aerosols (Seinfeld & Pandis 2006 table 8.3): number median to volume median, from memory of the relation", () => {
  const rows: [string, number, number, number][] = [
    ["urban 1", 0.013, 0.245, 0.033774],
    ["urban 2", 0.014, 0.666, 16.222],
    ["urban 3", 0.05, 0.337, 0.30442],
    ["marine 1", 0.008, 0.657, 7.6704],
    ["marine 2", 0.266, 0.21, 0.53643],
    ["marine 3", 0.58, 0.396, 7.0255],
    ["rural 1", 0.015, 0.225, 0.033558],
    ["rural 2", 0.054, 0.557, 7.5079],
    ["rural 3", 0.084, 0.266, 0.25885],
    ["remote continental 1", 0.02, 0.161, 0.030205],
    ["remote continental 2", 0.116, 0.217, 0.24532],
    ["remote continental 3", 1.8, 0.38, 17.896],
    ["free troposphere 1", 0.007, 0.645, 5.2348],
    ["free troposphere 2", 0.25, 0.253, 0.69199],
    ["free troposphere 3", 0.52, 0.425, 9.1985],
    ["polar 1", 0.138, 0.164, 0.21168],
    ["polar 2", 0.75, 0.521, 56.248],
    ["polar 3", 8.6, 0.42, 142.24],
    ["desert 1", 0.002, 0.247, 0.0052779],
    ["desert 2", 0.038, 0.77, 473.58],
    ["desert 3", 21.6, 0.438, 456.74],
  ];
  test.each(rows)("%s", (_, numberMedian, log10Sigma, volumeMedian) => {
    // The table's classes are made narrow enough that class sums stand for the integral.
    const p = { medianUm: numberMedian, gsd: 10 ** log10Sigma };
    const s = Math.log(p.gsd);
    const edges = Array.from(
      { length: 4001 },
      (__, i) => numberMedian * Math.exp(s * (-6 + (i * (12 + 3 * s)) / 4000)),
    );
    const volume = edges
      .slice(1)
      .map((x, i) => (logNormal.cdf(p, x) - logNormal.cdf(p, edges[i] ?? 0)) * (x * (edges[i] ?? 0)) ** 1.5);
    const sum = volume.reduce((a, b) => a + b, 0);
    const m = measured({
      quantity: "volume",
      lowerUm: edges.slice(0, -1),
      upperUm: edges.slice(1),
      shares: volume.map((v) => v / sum),
    });
    expect(Math.abs((sizeAt(curveOf(m), 0.5) ?? 0) / volumeMedian - 1)).toBeLessThan(2e-3);
  });
});

describe("Rosin–Rammler relations (spread exponent against ratios, as spray handbooks print them, from memory)", () => {
  test.each([
    [1.5, 0.7832, 2.0982, 1.9415],
    [2, 0.8326, 1.4757, 1.4327],
    [3, 0.885, 1.1984, 0.9584],
    [4, 0.9124, 1.1181, 0.7256],
  ])("n = %f", (n, medianOverX, medianOverSauter, span) => {
    const p = { characteristicUm: 1, spreadExponent: n };
    const median = rosinRammler.quantile(p, 0.5);
    expect(median).toBeCloseTo(medianOverX, 4);
    expect(median * (rosinRammler.moment(p, -1) ?? 0)).toBeCloseTo(medianOverSauter, 4);
    expect((rosinRammler.quantile(p, 0.9) - rosinRammler.quantile(p, 0.1)) / median).toBeCloseTo(span, 4);
  });
});

describe("40 CFR part 53 tables F-4 to F-6: interval masses of two log-normal modes", () => {
  const modes = {
    F4: [12, 0.5, 2, 88, 10, 2],
    F5: [33.3, 0.5, 2, 66.7, 10, 2],
    F6: [85, 0.85, 2, 15, 15, 2],
  } as const;
  const mass = (
    [fine, fineMedian, fineGsd, coarse, coarseMedian, coarseGsd]: readonly [
      number,
      number,
      number,
      number,
      number,
      number,
    ],
    x: number,
  ) =>
    fine * logNormal.cdf({ medianUm: fineMedian, gsd: fineGsd }, x) +
    coarse * logNormal.cdf({ medianUm: coarseMedian, gsd: coarseGsd }, x);

  test.each([
    ["F4", 0, 0.5, 6.001],
    ["F5", 0, 0.5, 16.651],
    ["F6", 0, 0.5, 18.868],
    ["F4", 1.9375, 2.0625, 0.272],
    ["F5", 2.4375, 2.5625, 0.325],
    ["F6", 2.4375, 2.5625, 0.745],
  ] as const)("table %s between %f and %f µm holds the printed mass", (table, from, to, printed) => {
    expect(Math.abs(mass(modes[table], to) - mass(modes[table], from) - printed)).toBeLessThan(6e-4);
  });

  describeWithData("all 129 printed masses", "published/E_40cfr53_tables_F4_F5_F6.csv", (path) => {
    const rows = Papa.parse<string[]>(readFileSync(path, "utf8"), {
      comments: "#",
      skipEmptyLines: true,
    }).data.slice(1);
    test("each within 0.0006", () => {
      let checked = 0;
      for (const [i, row] of rows.entries()) {
        // The size printed 1.675 behaves as 1.625.
        const nominal = row[0] === "1.675" ? 1.625 : Number(row[0]);
        const from = i === 0 ? 0 : i === 1 ? 0.5 : nominal - 0.0625;
        const to = i === 0 ? 0.5 : nominal + 0.0625;
        for (const [table, column] of [
          ["F4", 2],
          ["F5", 4],
          ["F6", 6],
        ] as const) {
          expect(
            Math.abs(mass(modes[table], to) - mass(modes[table], from) - Number(row[column])),
            `${table} ${nominal}`,
          ).toBeLessThan(6e-4);
          checked++;
        }
      }
      expect(checked).toBe(129);
    });
  });
});

describeWithData(
  "road materials with their authors' Rosin–Rammler fits (open data, Université de Sherbrooke)",
  "open/sherbrooke_a/grainsize.csv",
  (path) => {
    const read = (file: string) =>
      Papa.parse<Record<string, string>>(readFileSync(file, "utf8"), { header: true, skipEmptyLines: true })
        .data;
    const points = read(path);
    const soils = read(path.replace("grainsize", "soils_rosin"));
    test.each(
      soils
        .filter((s) => Number(s["g1"]) > 0)
        .map((s) => [s["ID"] ?? s["Soil_ID"] ?? "", Number(s["g1"]), Number(s["g2"])] as const),
    )("soil %s: the same least squares within 1e-4", (id, g1, g2) => {
      const own = points
        .filter((p) => p["Soil_ID"] === id)
        .map((p) => ({ mm: Number(p["Mesh"]), share: Number(p["Perc_passing"]) / 100 }));
      const inside = own.filter((p) => p.mm > 0);
      // Their curve 1 − exp(−g1·d^g2) is ours with location −ln(g1)/g2 and scale 1/g2; d = 0 adds a residual that no parameter moves.
      const form = rosinRammler.form;
      const found = leastSquares(
        {
          value:
            ([location = 0, lnScale = 0]) =>
            (x) =>
              form.undersize((x - location) / Math.exp(lnScale)),
          slopes:
            ([location = 0, lnScale = 0]) =>
            (x) => {
              const u = (x - location) / Math.exp(lnScale);
              return [-form.slope(u) / Math.exp(lnScale), -form.slope(u) * u];
            },
        },
        inside.map((p) => Math.log(p.mm)),
        inside.map((p) => p.share),
        [1, 0],
        { lowest: [-20, -9], highest: [20, 4] },
      );
      const [location = 0, lnScale = 0] = found.parameters;
      const n = Math.exp(-lnScale);
      expect(found.status).toBe("converged");
      expect(Math.abs(n / g2 - 1)).toBeLessThan(1e-4);
      expect(Math.abs(Math.exp(-location * n) / g1 - 1)).toBeLessThan(1e-4);
    });
  },
);

test("a fit recovers the curve it was made from to 1e-9, for both families", () => {
  const edges = Array.from({ length: 101 }, (_, i) => 0.02 * 1e5 ** (i / 100));
  const make = (cdf: (x: number) => number): NamedMeasurement => {
    const shares = edges.slice(1).map((x, i) => cdf(x) - cdf(edges[i] ?? 0));
    const below = cdf(edges[0] ?? 0);
    return {
      file: null,
      name: "made",
      distribution: measured({
        quantity: "volume",
        lowerUm: edges.slice(0, -1),
        upperUm: edges.slice(1),
        shares,
        belowShare: below,
        aboveShare: Math.max(0, 1 - cdf(edges.at(-1) ?? 1)),
      }),
    };
  };
  const [normal] = fitAnswer([make((x) => logNormal.cdf({ medianUm: 3, gsd: 1.6 }, x))], {
    families: ["log-normal"],
  }).fits;
  const [rosin] = fitAnswer(
    [make((x) => rosinRammler.cdf({ characteristicUm: 6, spreadExponent: 2.2 }, x))],
    { families: ["rosin-rammler"] },
  ).fits;
  expect(normal?.family === "log-normal" ? normal.parameters.medianUm : 0).toBeCloseTo(3, 9);
  expect(normal?.family === "log-normal" ? normal.parameters.gsd : 0).toBeCloseTo(1.6, 9);
  expect(rosin?.family === "rosin-rammler" ? rosin.parameters.spreadExponent : 0).toBeCloseTo(2.2, 9);
});
