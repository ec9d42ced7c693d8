import { readFileSync } from "node:fs";
import { describe, expect, test } from "vitest";
import { logNormal } from "#distributions/families/logNormal.ts";
import { geometricSurface } from "#distributions/moments.ts";
import { type SizeDistribution, sizeDistribution } from "#distributions/sizeDistribution.ts";
import { unseenSentence } from "#model/answers/surface/predictedBetWords.ts";
import { areaBars } from "#model/pictures/areaBars.ts";
import { areaBySize } from "#model/surface/areaBySize.ts";
import { guessed } from "#model/surface/betForm.ts";
import { calibrationMetadata } from "#model/surface/calibrationMetadata.ts";
import { unseenFines } from "#model/surface/unseenFines.ts";
import { describeWithData } from "../../checkData.ts";
import { powder } from "../powder.ts";

const named = (distribution: SizeDistribution) => ({ file: null, name: "run", distribution });

describe("fines that the instrument does not see", () => {
  const cutOff = (fromUm: number) => {
    const edges = Array.from({ length: 61 }, (_, i) => fromUm * (60 / fromUm) ** (i / 60));
    return powder(3, 1.8, edges);
  };
  test("of a log-normal powder, classes and tail add up to its area by closed form", () => {
    const found = unseenFines(cutOff(1), 4.55);
    // 6/ρ·E[1/x] = 6/(ρ x50)·exp(σ²/2): Hatch and Choate; docs/science.md.
    const whole = (6 / 4.55 / 3) * Math.exp(Math.log(1.8) ** 2 / 2);
    expect((found?.seenM2PerG ?? 0) + (found?.tailM2PerG ?? 0)).toBeCloseTo(whole, 3);
    expect(found?.leastM2PerG).toBeCloseTo((6 / 4.55) * logNormal.cdf({ medianUm: 3, gsd: 1.8 }, 1), 6);
  });
  test("the sentence says that they matter where they do, and that they do not where they do not", () => {
    const [far, near] = [unseenFines(cutOff(0.1), 4.55), unseenFines(cutOff(1.5), 4.55)];
    if (far === null || near === null) throw new Error("a log-normal powder is fitted");
    expect(unseenSentence(far)).toBe(
      "The measurement does not reach below 0.100 µm; a log-normal tail there would add less than 1 % to the area.",
    );
    expect(unseenSentence(near)).toMatch(
      /^The measurement does not reach below 1\.50 µm: the powder below adds at least 0\.1\d\d m²\/g to the measured 0\.3\d\d m²\/g; a log-normal tail would add/,
    );
  });
  test("counts with a share below their classes cannot be turned into volume, so nothing is told", () => {
    const counts = { quantity: "number", lowerUm: [1, 2], upperUm: [2, 4], shares: [0.5, 0.3] } as const;
    expect(unseenFines(named(sizeDistribution({ ...counts, belowShare: 0.2 })), 4.55)).toBeNull();
  });
});

describeWithData("SRM 114q portland cement", "published/A_srm114q_psd.csv", (path) => {
  const lines = readFileSync(path, "utf8").trim().split("\n");
  // Source: the header of the file, after NIST SP 260-166: Blaine 381.8 m²/kg.
  const blaineM2PerG = Number(/Blaine ([\d.]+) m2\/kg/.exec(lines[0] ?? "")?.[1]) / 1000;
  const points = lines.slice(2).map((line) => line.split(",").map(Number));
  const cement = (firstUm: number | null) => {
    const edges = [...(firstUm === null ? [] : [[firstUm, 0]]), ...points];
    return sizeDistribution({
      quantity: "volume",
      lowerUm: edges.slice(0, -1).map(([x = 0]) => x),
      upperUm: edges.slice(1).map(([x = 0]) => x),
      shares: edges.slice(1).map(([, q = 0], i) => q - (edges[i]?.[1] ?? 0)),
      belowShare: edges[0]?.[1] ?? 0,
      aboveShare: 1 - (points.at(-1)?.[1] ?? 1),
    });
  };
  // Portland cement has 3.1 to 3.25 g/cm³: from memory.
  test.each([3.1, 3.15, 3.25])(
    "at %d g/cm³ the Blaine area lies between unseen fines as coarse as can be and spread over a decade",
    (density) => {
      const unseen = unseenFines(named(cement(null)), density);
      const least = (unseen?.seenM2PerG ?? 0) + (unseen?.leastM2PerG ?? 0);
      const most = geometricSurface(cement(0.1), density)?.m2PerG ?? 0;
      expect(unseen?.seenM2PerG).toBeLessThan(0.8 * blaineM2PerG);
      expect(least).toBeLessThan(blaineM2PerG);
      expect(most).toBeGreaterThan(blaineM2PerG);
      expect(most / least).toBeGreaterThan(1.5);
    },
  );
});

test("how a powder was measured: what its runs state alike, and the dopant class of its stage", () => {
  const [a, b] = [
    { howMeasured: { instrument: "A", opticalModel: "Mie" } },
    { howMeasured: { instrument: "B", opticalModel: "Mie" } },
  ];
  const settings = [
    { name: "temperature", value: "1600" },
    { name: "Dopant class", value: "cerium" },
  ];
  expect(calibrationMetadata([a, a], settings)).toEqual({
    instrument: "A",
    optics: "Mie",
    dopantClass: "cerium",
  });
  expect(calibrationMetadata([a, b], [])).toEqual({ optics: "Mie" });
  expect(calibrationMetadata([a, {}], [])).toEqual({});
});

test("with no pair the BET value is guessed evenly in ln from once to twice the geometric area", () => {
  const guess = guessed(0.5);
  expect(guess.median).toBeCloseTo(0.5 * Math.SQRT2, 12);
  for (const p of [0.025, 0.5, 0.975]) {
    expect(guess.quantile(p)).toBeCloseTo(0.5 * 2 ** p, 12);
    expect(guess.below(guess.quantile(p) ?? 0)).toBeCloseTo(p, 12);
  }
  expect([0, 0.5, 1, 2].map((bet) => guess.below(bet))).toEqual([0, 0, 1, 1]);
});

test("counted particles carry area by the mean of x² of their class, spread as their number is", () => {
  const counted = sizeDistribution({
    quantity: "number",
    lowerUm: [1, 2, 4],
    upperUm: [2, 4, 8],
    shares: [0.7, 0.2, 0.1],
    inClass: "log-uniform",
  });
  // Worked by hand: the mean of x² over a class whose count is even in ln x is (b² − a²)/(2 ln(b/a)).
  const areas = [0.7 * 3, 0.2 * 12, 0.1 * 48];
  const whole = areas.reduce((a, b) => a + b, 0);
  for (const [i, { share }] of (areaBySize(counted) ?? []).entries())
    expect(share).toBeCloseTo((areas[i] ?? 0) / whole, 12);
});

test("the bars of the area cover the whole: heights by ln widths add to 100 %", () => {
  const picture = areaBars(areaBySize(powder(3).distribution) ?? [], "area", 600);
  const bars = picture?.marks.flatMap((m) => (m.kind === "area" ? [m.points] : [])) ?? [];
  const drawn = bars.reduce((sum, [a, b, c]) => {
    const [width, height] = [(b?.[0] ?? 0) - (a?.[0] ?? 0), (c?.[1] ?? 0) - (b?.[1] ?? 0)];
    return sum + width * height;
  }, 0);
  const ticks = picture?.marks.flatMap((m) => (m.kind === "line" ? [m.points[0]?.[1] ?? 0] : [])) ?? [];
  const words =
    picture?.marks.flatMap((m) => (m.kind === "words" && m.anchor === "end" ? [m.text] : [])) ?? [];
  // A level line's own value, and the extent in ln size that one unit of width stands for.
  const perUnit = Number(words[1]) / ((ticks[0] ?? 0) - (ticks[1] ?? 0));
  const seen = (areaBySize(powder(3).distribution) ?? []).filter((c) => c.share > 0.0005);
  const lnPerUnit = Math.log((seen.at(-1)?.toUm ?? 1) / (seen[0]?.fromUm ?? 1)) / (600 - 52 - 12);
  expect(drawn * perUnit * lnPerUnit).toBeCloseTo(100, 0);
  expect(areaBars([], "none")).toBeNull();
});
