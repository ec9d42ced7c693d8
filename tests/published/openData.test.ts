import { readFileSync } from "node:fs";
import Papa from "papaparse";
import { describe, expect, test } from "vitest";
import { curveOf, sizeAt, undersizeAt } from "#distributions/curve.ts";
import { type Measured, measured } from "#distributions/measured.ts";
import {
  arithmeticMeanUm,
  geometricMeanUm,
  geometricSurface,
  standardDeviationUm,
} from "#distributions/moments.ts";
import { describeWithData } from "../checkData.ts";

type Row = Record<string, string>;
const read = (path: string) =>
  Papa.parse<Row>(readFileSync(path, "utf8"), { header: true, skipEmptyLines: true }).data;

/** Class values at upper edges, percentiles straight in ln size, means at geometric mids: the convention of the data's own report. */
function distributionOf(row: Row): Measured {
  const columns = Object.keys(row).filter((name) => name.startsWith("q_le_"));
  const upperUm = columns.map((name) => Number(name.slice(5)));
  const lowerUm = [(upperUm[0] ?? 0) ** 2 / (upperUm[1] ?? 1), ...upperUm.slice(0, -1)];
  const values = columns.map((name) => Number(row[name]));
  const sum = values.reduce((a, b) => a + b, 0);
  return measured({
    quantity: "volume",
    inClass: "geometric-mid",
    lowerUm,
    upperUm,
    shares: values.map((v) => v / sum),
  });
}

describe.each([
  ["pl1_putslaagte", 450],
  ["mjb_sw", 972],
] as const)("laser measurements of sediments %s (open data, CC0)", (folder, count) => {
  describeWithData(
    `${folder}: every row reproduces its printed statistics`,
    `open/${folder}/tidy_wide.csv`,
    (path) => {
      const rows = read(path);
      const worst = (value: (m: Measured) => number | null, printed: string) =>
        Math.max(
          ...rows.map((row) =>
            Math.abs((value(distributionOf(row)) ?? Number.NaN) / Number(row[printed]) - 1),
          ),
        );
      test("there are as many rows as stated", () => expect(rows.length).toBe(count));
      // The classes are rounded to 0.001 %, so cumulated they differ from the laboratory's own curve by up to 0.010 % (its source
      // file says so): that, not a ratio of sizes, is what a printed percentile can be held to.
      test.each([
        ["D10", 0.1, "pub_D10_um"],
        ["D50", 0.5, "pub_D50_um"],
        ["D90", 0.9, "pub_D90_um"],
      ] as const)("%s: the curve at the printed size is within 0.010 points", (_, fraction, printed) => {
        const gaps = rows.map((row) =>
          Math.abs(undersizeAt(curveOf(distributionOf(row)), Number(row[printed])) - fraction),
        );
        expect(Math.max(...gaps)).toBeLessThan(1e-4);
      });
      test("D10, D50 and D90 in the middle row within 3e-4, 1e-4 and 1e-4 of size", () => {
        const middle = ([fraction, printed]: readonly [number, string]) => {
          const gaps = rows
            .map((row) =>
              Math.abs((sizeAt(curveOf(distributionOf(row)), fraction) ?? 0) / Number(row[printed]) - 1),
            )
            .sort((a, b) => a - b);
          return gaps[gaps.length >> 1] ?? 1;
        };
        expect(middle([0.1, "pub_D10_um"])).toBeLessThan(3e-4);
        expect(middle([0.5, "pub_D50_um"])).toBeLessThan(1e-4);
        expect(middle([0.9, "pub_D90_um"])).toBeLessThan(1e-4);
      });
      test.each([
        ["mean", arithmeticMeanUm, "pub_mean_um", 1.5e-4],
        ["standard deviation", standardDeviationUm, "pub_sd_um", 2e-4],
        ["geometric mean", geometricMeanUm, "pub_geomean_um", 3e-4],
      ] as const)("%s", (_, value, printed, tolerance) => {
        expect(worst(value, printed)).toBeLessThan(tolerance);
      });
    },
  );
});

describeWithData(
  "deltaic samples with their authors' specific surface (open data, Luijendijk & Gleeson 2015)",
  "open/ast02_a/ast02_with_spec_surf.csv",
  (path) => {
    test("6/ρ·Σ w/d over classes from 2 µm, arithmetic mids, within 1e-9", () => {
      let checked = 0;
      for (const row of read(path)) {
        const columns = Object.keys(row).filter(
          (name) => /^\d.*-.*_micron$/.test(name) && !name.startsWith("0-"),
        );
        const printed = Number(row["specific_surface_granular_fraction"]);
        const shares = columns.map((name) => Number(row[name]) / 100);
        if (!(printed > 0) || shares.some((v) => !(v >= 0)) || columns.some((name) => row[name] === ""))
          continue;
        const edges = columns.map((name) => name.replace("_micron", "").split("-").map(Number));
        const whole = shares.reduce((a, b) => a + b, 0);
        if (whole > 1 + 1e-9) continue;
        const m = measured({
          quantity: "volume",
          inClass: "arithmetic-mid",
          lowerUm: edges.map(([lower]) => lower ?? 0),
          upperUm: edges.map(([, upper]) => upper ?? 0),
          shares,
          belowShare: Math.max(0, 1 - whole),
        });
        const surface = geometricSurface(m, 2.65)?.m2PerG ?? 0;
        expect(Math.abs((surface * 1000) / printed - 1)).toBeLessThan(1e-9);
        checked++;
      }
      expect(checked).toBeGreaterThanOrEqual(25);
    });
  },
);

describeWithData(
  "raindrop counts of Darwin (US NOAA measurements; Ignaccolo & De Michele 2022)",
  "open/rain_darwin/drop_counts_per_minute.txt",
  (path) => {
    const lines = (name: string) =>
      readFileSync(path.replace("drop_counts_per_minute", name), "utf8").trim().split("\n");
    const [lower = [], upper = []] = lines("class_limits_mm").map((line) =>
      line
        .trim()
        .split(/[\s,]+/)
        .map(Number),
    );
    test("N exact, the mean at arithmetic mids to 1e-12", () => {
      const printed = lines("published_moments")
        .map((line) =>
          line
            .trim()
            .split(/[\s,]+/)
            .map(Number),
        )
        .filter((row) => row.every(Number.isFinite));
      const counts = lines("drop_counts_per_minute")
        .map((line) =>
          line
            .trim()
            .split(/[\s,]+/)
            .map(Number),
        )
        .filter((row) => row.length === lower.length && row.every(Number.isFinite));
      expect(counts.length).toBe(printed.length);
      let worst = 0;
      for (const [i, row] of counts.entries()) {
        const n = row.reduce((a, b) => a + b, 0);
        expect(n).toBe(printed[i]?.[0]);
        // Limits in mm: moments do not mind the unit. The classes' small gaps and overlaps are kept.
        const m = measured({
          quantity: "number",
          inClass: "arithmetic-mid",
          lowerUm: lower,
          upperUm: upper,
          shares: row.map((c) => c / n),
        });
        worst = Math.max(worst, Math.abs((arithmeticMeanUm(m) ?? 0) / (printed[i]?.[1] ?? 1) - 1));
      }
      expect(worst).toBeLessThan(1e-12);
    });
  },
);
