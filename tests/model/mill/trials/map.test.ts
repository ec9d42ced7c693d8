import { describe, expect, test } from "vitest";
import { fitMill } from "#model/mill/prediction/fittedMill.ts";
import { exponentsOf } from "#model/mill/trials/exponents.ts";
import { nextTrial } from "#model/mill/trials/nextTrial.ts";
import { usualPriors } from "#model/mill/trials/priors.ts";
import { fitTrials } from "#model/mill/trials/trialFit.ts";
import { contour } from "#model/pictures/contours.ts";
import { inBandMap } from "#model/pictures/inBandMap.ts";
import { demoMill, demoTrials } from "../demo.ts";

describe("contours", () => {
  const xs = Array.from({ length: 41 }, (_, i) => i / 20 - 1);
  const cone = xs.map((y) => xs.map((x) => 1 - Math.hypot(x, y)));
  const same = (x: number, y: number) => ({ x: 1000 * x, y: 1000 * y });
  test("the level of a cone is a circle: every point of the line at its radius, and its ground its area", () => {
    const { line, ground, labelAt } = contour({ xs, ys: xs, values: cone }, 0.5, same);
    const points = [...line.matchAll(/[ML](-?[\d.]+) (-?[\d.]+)/g)].map((m) => [Number(m[1]), Number(m[2])]);
    expect(points.length).toBeGreaterThan(50);
    for (const [x = 0, y = 0] of points) expect(Math.abs(Math.hypot(x, y) - 500)).toBeLessThan(3);
    const area = [...ground.matchAll(/M([^Z]*)Z/g)].reduce((sum, m) => sum + areaOf(m[1] ?? ""), 0);
    expect(area / (Math.PI * 500 ** 2)).toBeCloseTo(1, 2);
    expect(labelAt?.y).toBeLessThan(-490);
  });
  test("a level above everything has no line and no label, one below everything is all ground", () => {
    expect(contour({ xs, ys: xs, values: cone }, 2, same)).toMatchObject({
      line: "",
      ground: "",
      labelAt: null,
    });
    expect(contour({ xs, ys: xs, values: cone }, -2, same).line).toBe("");
  });
  test("the map keeps every mark and label inside its frame, at any width", () => {
    const grid = {
      xs: [2500, 5000, 9000],
      ys: [120, 190, 300],
      values: [
        [0, 0.2, 0],
        [0.1, 0.9, 0.2],
        [0, 0.3, 0],
      ],
    };
    for (const width of [260, 700]) {
      const map = inBandMap(
        grid,
        [{ kind: "next", label: "next trial", speedRpm: 9000, flowM3PerH: 190 }],
        9000,
        width,
      );
      for (const { at } of map.xTicks) {
        expect(at).toBeGreaterThanOrEqual(map.frame.left);
        expect(at).toBeLessThanOrEqual(map.frame.right);
      }
      expect(map.marks[0]?.side).toBe("left");
      for (const { labelAt } of map.contours)
        if (labelAt !== null) {
          expect(labelAt.y).toBeGreaterThanOrEqual(map.frame.top + 8);
          expect(labelAt.y).toBeLessThanOrEqual(map.frame.bottom - 8);
        }
      expect(JSON.stringify(map)).not.toMatch(/NaN|null,null/);
    }
  });
  test("a mark never covers a contour's label: it moves along the line, and goes where there is no room", () => {
    const axis = xs.map(Math.exp);
    const grid = { xs: axis, ys: axis, values: cone.map((row) => row.map((v) => Math.max(0, 2 * v - 1))) };
    const markAt = (speedRpm: number, flowM3PerH: number) =>
      inBandMap(grid, [{ kind: "best", label: "likeliest", speedRpm, flowM3PerH }], null, 700);
    const labelOf = (map: ReturnType<typeof inBandMap>, level: number) =>
      map.contours.find((c) => c.level === level)?.labelAt ?? null;
    // At the top of the middle contour, where its label would stand: (0, 1/4) in ln.
    const moved = markAt(1, Math.exp(0.25));
    const [mark] = moved.marks;
    const label = labelOf(moved, 0.5);
    if (mark === undefined || label === null)
      throw new Error("the mark stands on the map, the label beside it");
    expect(Math.hypot(label.x - mark.x, label.y - mark.y)).toBeGreaterThanOrEqual(24);
    expect(Math.hypot(label.x - mark.x, label.y - mark.y)).toBeLessThan(80);
    // Clear of the mark's own name too, which stands under it and to its side.
    expect(Math.abs(label.y - mark.y - mark.labelDown) > 14 || Math.abs(label.x - mark.x) > 60).toBe(true);
    // At the peak the narrowest contour has no place left, the wide ones keep theirs.
    const peak = markAt(1, 1);
    expect(labelOf(peak, 0.9)).toBeNull();
    expect(labelOf(peak, 0.25)).not.toBeNull();
  });
});

function areaOf(ring: string): number {
  const points = ring.split("L").map((p) => p.split(" ").map(Number));
  return Math.abs(
    points.reduce((sum, [x = 0, y = 0], i) => {
      const [u = 0, v = 0] = points[(i + 1) % points.length] ?? [];
      return sum + (x * v - u * y) / 2;
    }, 0),
  );
}

describe("what the exponents rest on", () => {
  test("the speed's from trials at many speeds, the prior where all ran at one", () => {
    const many = exponentsOf(demoMill, fitTrials(demoMill, demoTrials));
    expect(many[0]).toMatchObject({ factor: "speed", restsOn: "your trials" });
    const one = demoTrials.slice(0, 3).map((t) => ({ ...t, speedRpm: 5000 }));
    const [speed] = exponentsOf(demoMill, fitTrials(demoMill, one));
    expect(speed?.restsOn).toBe("the prior");
    expect(speed?.now.mean).toBeCloseTo(usualPriors.speed.mean, 6);
  });
  test("the wheel's physics departs from −1 and ½ as docs/science.md says", () => {
    const [speed, flow] = exponentsOf(demoMill, fitTrials(demoMill, demoTrials));
    expect(speed?.physics).toBeGreaterThan(-1.12);
    expect(speed?.physics).toBeLessThan(-1.03);
    expect(flow?.physics).toBeGreaterThan(0.55);
    expect(flow?.physics).toBeLessThan(0.65);
  });
  test("another prior is heard where trials are few", () => {
    const few = demoTrials.slice(0, 1);
    const priors = { ...usualPriors, speed: { mean: -0.5, sd: 0.05 } };
    const law = fitMill(demoMill, few, { priors });
    expect(exponentsOf(demoMill, law?.fit ?? fitTrials(demoMill, few))[0]?.now.mean).toBeCloseTo(-0.5, 2);
  });
});

describe("the next trial", () => {
  const fit = fitTrials(demoMill, demoTrials.slice(0, 4));
  test("teaches something, within the rated speed and 1.5 times the trials", () => {
    const found = nextTrial(fit, { speedRpm: 7500, flowM3PerH: 190, feedKgPerH: 8 }, 9000);
    expect(found?.narrowing).toBeLessThan(0.95);
    expect(found?.speedRpm).toBeLessThanOrEqual(9000);
    expect(found?.speedRpm).toBeLessThanOrEqual(1.5 * 5400);
    expect(found?.speedRpm).toBeGreaterThan(5400);
  });
  test("a target beyond the fast end calls for a fast trial, one beyond the slow end for a slow one", () => {
    const at = (speedRpm: number) =>
      nextTrial(fit, { speedRpm, flowM3PerH: 190, feedKgPerH: 8 }, 9000)?.speedRpm ?? 0;
    expect(at(8000)).toBeGreaterThan(at(2600));
  });
});
