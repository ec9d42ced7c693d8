import { readFileSync } from "node:fs";
import { expect, test } from "vitest";
import { type NamedMeasurement, sizeDistribution } from "#distributions/sizeDistribution.ts";
import { checkAnswer } from "#model/answers/lot/checkAnswer.ts";
import type { Band } from "#model/band/band.ts";
import { describeWithData } from "../checkData.ts";

// Source: ISO 12103-1, grade A1 (ultrafine test dust): least and most by volume below each size, as repeated on a
// supplier's page; read where it lies.
describeWithData("ISO 12103-1 A1 as a target band", "open/band_testdust_a1/a1_band.csv", (path) => {
  const rows = readFileSync(path, "utf8").trim().split("\n").slice(1);
  const limits = rows
    .map((row) => row.split(",").map(Number))
    .map(([x = 0, low = 0, high = 0]) => ({ x, low, high }));
  const band: Band = {
    version: 1,
    name: "A1",
    stage: "",
    densityGPerCm3: 2.65,
    rule: "simple",
    rows: limits.map(({ x, low, high }) => ({
      limit: "belowShare",
      sizeUm: x,
      low: low / 100,
      high: high / 100,
    })),
    envelope: {
      sizesUm: limits.map((l) => l.x),
      lowShares: limits.map((l) => l.low / 100),
      highShares: limits.map((l) => l.high / 100),
    },
  };
  /** A powder whose shares lie so far between least and most: 0 the least, 1 the most. */
  const between = (part: (i: number) => number): NamedMeasurement => {
    const q = limits.map(({ low, high }, i) => (low + part(i) * (high - low)) / 100);
    return {
      file: null,
      name: "dust",
      distribution: sizeDistribution({
        quantity: "volume",
        lowerUm: limits.slice(0, -1).map((l) => l.x),
        upperUm: limits.slice(1).map((l) => l.x),
        shares: q.slice(1).map((v, i) => v - (q[i] ?? 0)),
        belowShare: q[0] ?? 0,
      }),
    };
  };
  test("a dust midway between least and most is in band at every size", () => {
    const found = checkAnswer([between(() => 0.5)], band);
    expect(found.verdict).toBe("in band");
    expect(found.outside).toEqual([]);
    expect(found.rows.map((r) => r.value)).toEqual(
      limits.map((l) => expect.closeTo((l.low + l.high) / 200, 9)),
    );
  });
  test("one that holds two points more than the most below 5.5 µm is out there, by two points, and nowhere else", () => {
    const at = limits.findIndex((l) => l.x === 5.5);
    const found = checkAnswer([between((i) => (i === at ? 1.5 : 0.5))], band);
    expect(found.verdict).toBe("out of band");
    expect(found.rows.filter((r) => r.verdict === "out of band").map((r) => r.sizeUm)).toEqual([5.5]);
    expect(found.outside.length).toBe(1);
    expect(found.outside[0]?.points).toBeCloseTo(2, 6);
    expect(found.outside[0]?.fromUm).toBeLessThan(5.5);
    // Above 5.5 µm the next size of the standard lies beyond 95 %, which is shown and not judged.
    expect(found.outside[0]?.toUm).toBeGreaterThanOrEqual(5.5);
  });
  test.each(["two-sided", "guarded"] as const)("under the %s rule one run is too few to say", (rule) => {
    expect(checkAnswer([between(() => 0.5)], { ...band, rule }).verdict).toBe("too few runs");
  });
});
