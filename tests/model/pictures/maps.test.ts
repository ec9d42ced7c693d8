import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { curveOf, undersizeAt } from "#distributions/curve.ts";
import { sizeDistribution } from "#distributions/sizeDistribution.ts";
import { contour } from "#model/pictures/contours.ts";
import { inBandMap, mapMark } from "#model/pictures/inBandMap.ts";
import { escaped, overlaySvg } from "#model/pictures/overlaySvg.ts";
import { separatorPicture } from "#model/pictures/separator.ts";

// Every expected value in this file is worked by hand unless it says law.
const pairsOf = (text: string) =>
  text.split(/[ML]/).flatMap((part) => (part === "" ? [] : [part.replace("Z", "").split(" ").map(Number)]));
function areaOf(ground: string): number {
  return ground.split("Z").reduce((sum, ring) => {
    const points = pairsOf(ring);
    return (
      sum +
      points.reduce((area, [x = 0, y = 0], i) => {
        const [u = 0, v = 0] = points[(i + 1) % points.length] ?? [];
        return area + (x * v - u * y) / 2;
      }, 0)
    );
  }, 0);
}

describe("contours", () => {
  const thousandfold = (x: number, y: number) => ({ x: 1000 * x, y: 1000 * y });
  const few = fc.array(fc.integer({ min: 0, max: 9 }), { minLength: 12, maxLength: 12 });
  const gridOf = (values: readonly number[], turn = 1) => ({
    xs: [0, 1, 3, 4],
    ys: [0, 2, 3],
    values: [0, 4, 8].map((from) => values.slice(from, from + 4).map((v) => turn * v)),
  });
  test("law: what lies above a level and what lies below it make the whole", () => {
    fc.assert(
      fc.property(few, fc.integer({ min: 0, max: 8 }), (values, level) => {
        const above = areaOf(contour(gridOf(values), level + 0.5, thousandfold).ground);
        const below = areaOf(contour(gridOf(values, -1), -level - 0.5, thousandfold).ground);
        // Saddles aside, whose middle may go to either side of both.
        const isSaddle = gridOf(values).values.some((row, r, rows) =>
          row.some((a, c) => {
            const [b, u, v] = [row[c + 1], rows[r + 1]?.[c], rows[r + 1]?.[c + 1]].map((h) =>
              h === undefined ? null : h > level,
            );
            return b !== null && u !== null && b === u && v === a > level && b !== v;
          }),
        );
        return isSaddle || Math.abs((above + below) / 12e6 - 1) < 1e-3;
      }),
    );
  });
  test("law: both ends of every piece of a line stand where the height is the level", () => {
    // Heights of a plane, so that they are known everywhere.
    const plane = {
      xs: [0, 1, 3, 4],
      ys: [0, 2, 3],
      values: [0, 2, 3].map((y) => [0, 1, 3, 4].map((x) => 2 * x + 3 * y)),
    };
    const { line, ground, labelAt } = contour(plane, 7, thousandfold);
    const points = pairsOf(line);
    expect(points.length).toBeGreaterThan(4);
    for (const [x = 0, y = 0] of points) expect((2 * x + 3 * y) / 1000).toBeCloseTo(7, 2);
    // Below 2x + 3y = 7 lies the trapezium with corners (0,0), (3.5,0), (0,7/3): half of 3.5·7/3.
    expect(areaOf(ground) / 1e6).toBeCloseTo(12 - (3.5 * (7 / 3)) / 2, 3);
    // The topmost piece crosses the cell between x 0 and 1, y 0 and 2: from (0.5, 2) to (1, 5/3); below it in the
    // picture's sense lies the one at the lower edge, from (3, 1/3) to (3.5, 0).
    expect(labelAt).toEqual({ x: 3250, y: expect.closeTo(1000 / 6, 6) });
  });
  test("a height just at the level counts as above it", () => {
    const flat = {
      xs: [0, 1],
      ys: [0, 1],
      values: [
        [1, 1],
        [1, 1],
      ],
    };
    expect(areaOf(contour(flat, 1, thousandfold).ground)).toBe(1e6);
    expect(contour(flat, 1.001, thousandfold).ground).toBe("");
  });
  test("a saddle has two pieces of line", () => {
    const saddle = {
      xs: [0, 1],
      ys: [0, 1],
      values: [
        [1, 0],
        [0, 1],
      ],
    };
    expect(contour(saddle, 0.5, thousandfold).line).toBe("M500 0L1000 500M500 1000L0 500");
  });
  test("a run of cells above is one rectangle", () => {
    const ridge = {
      xs: [0, 1, 2, 3],
      ys: [0, 1],
      values: [
        [5, 5, 5, 0],
        [5, 5, 5, 0],
      ],
    };
    expect(contour(ridge, 2, thousandfold).ground).toBe(
      "M0 0L2000 0L2000 1000L0 1000ZM2000 0L2600 0L2600 1000L2000 1000Z",
    );
  });
});

describe("the map of the chance in band", () => {
  const axes = { xs: [1000, 4000], ys: [100, 400] };
  const of = (height: number, width = 580) =>
    inBandMap(
      {
        ...axes,
        values: [
          [height, 0],
          [0, 0],
        ],
      },
      [],
      2000,
      width,
    );
  test("its frame leaves room for the words, and its height follows its width within limits", () => {
    // 0.45 · 580 = 261; 58 left, 22 right, 10 above, 42 below.
    expect(of(1)).toMatchObject({
      width: 580,
      height: 261,
      frame: { left: 58, right: 558, top: 10, bottom: 219 },
    });
    expect(of(1, 260).height).toBe(240);
    expect(of(1, 900).height).toBe(340);
  });
  test("both axes are logarithmic, flow upward", () => {
    // 2000 is halfway from 1000 to 4000 in logarithms, 200 from 100 to 400.
    const mark = (speedRpm: number, flowM3PerH: number) =>
      mapMark(axes, { kind: "here", label: "", speedRpm, flowM3PerH }, 580);
    expect(mark(2000, 200)).toMatchObject({
      x: expect.closeTo(308, 9),
      y: expect.closeTo(114.5, 9),
      side: "right",
    });
    expect(mark(2001, 200)?.side).toBe("left");
    expect(mark(1000, 100)).toMatchObject({ x: 58, y: 219 });
    expect(mark(4000, 400)).toMatchObject({ x: expect.closeTo(558, 9), y: expect.closeTo(10, 9) });
    for (const [n, q] of [
      [990, 200],
      [4050, 200],
      [2000, 99],
      [2000, 404],
    ] as const)
      expect(mark(n, q)).toBeNull();
    // One unit of the picture beyond the frame is still on it: 4^(1/500) and 4^(1/209).
    for (const [n, q] of [
      [998, 200],
      [4010, 200],
      [2000, 99.5],
      [2000, 402],
    ] as const)
      expect(mark(n, q)).not.toBeNull();
  });
  test("levels go lower where no setting is likely", () => {
    const labels = (height: number) =>
      of(height)
        .contours.map((c) => c.label)
        .join(" ");
    expect(labels(0.35)).toBe("10 % 25 % 50 % 75 % 90 %");
    expect(labels(0.34)).toBe("2 % 5 % 10 % 20 % 30 %");
  });
  test("the rated speed is shown where it lies inside", () => {
    expect(of(1).ratedAt).toBeCloseTo(308, 9);
    const rated = (rpm: number | null) =>
      inBandMap(
        {
          ...axes,
          values: [
            [1, 0],
            [0, 0],
          ],
        },
        [],
        rpm,
        580,
      ).ratedAt;
    expect(rated(null)).toBeNull();
    expect(rated(999)).toBeNull();
    expect(rated(4050)).toBeNull();
    expect(rated(1000)).toBe(58);
    expect(rated(4000)).toBeCloseTo(558, 9);
  });
  test("ticks are whole steps with 64 units of room each", () => {
    const ticks = (from: number, to: number, width = 580) =>
      inBandMap(
        {
          xs: [from, to],
          ys: [100, 400],
          values: [
            [1, 0],
            [0, 0],
          ],
        },
        [],
        null,
        width,
      )
        .xTicks.map((t) => t.label)
        .join(" ");
    // 500 units hold 7.8 ticks: 3000/7.8 asks for steps of 500.
    expect(ticks(1000, 4000)).toBe("1,000 1,500 2,000 2,500 3,000 3,500 4,000");
    expect(ticks(1000, 4000, 336)).toBe("1,000 2,000 3,000 4,000");
    expect(ticks(1001, 1499)).toBe("1,100 1,200 1,300 1,400");
    expect(ticks(1010, 1090)).toBe("");
    expect(ticks(1010, 1110)).toBe("1,100");
    expect(of(1).yTicks.map((t) => t.label)).toEqual(["100", "150", "200", "300", "400"]);
    expect(of(1).yTicks[2]?.at).toBeCloseTo(114.5, 9);
  });
});

describe("the sheet's overlay", () => {
  const curve = (scale: number) =>
    curveOf(
      sizeDistribution({
        quantity: "volume",
        lowerUm: [1, 2, 4].map((x) => x * scale),
        upperUm: [2, 4, 8].map((x) => x * scale),
        shares: [0.25, 0.5, 0.25],
      }),
    );
  const envelope = {
    sizesUm: [1, 2, 4, 8, 1000],
    lowShares: [0, 0.2, 0.7, 0.9, 1],
    highShares: [0, 0.3, 0.8, 1, 1],
  };
  const svg = overlaySvg(
    { name: "milled", curve: curve(1) },
    [
      { name: "fired <1>", curve: curve(2) },
      { name: "finer", curve: curve(0.5) },
    ],
    envelope,
  );
  const lines = [...svg.matchAll(/<polyline [^>]*points="([^"]*)"/g)].map((m) =>
    (m[1] ?? "").split(" ").map((p) => p.split(",").map(Number)),
  );
  // The product's own range: from 1·2^0.008/1.3 to 8·1.3/2^0.008 µm.
  const from = 2 ** 0.008 / 1.3;
  const to = (8 * 1.3) / 2 ** 0.008;
  const x = (um: number) => 44 + (664 * Math.log(um / from)) / Math.log(to / from);
  const y = (share: number) => 136 - 124 * share;
  test("three lines of 161 points from edge to edge of the frame, as wide as the product; others go on beyond", () => {
    expect(lines).toHaveLength(3);
    for (const points of lines) {
      expect(points).toHaveLength(161);
      expect([points[0]?.[0], points.at(-1)?.[0]]).toEqual([44, 708]);
      for (const [i, [at = 0, down = 0]] of points.entries()) {
        expect(at).toBeCloseTo(44 + (664 * i) / 160, 0);
        expect(down).toBeLessThanOrEqual(points[i - 1]?.[1] ?? 136);
      }
    }
    // The others first, as they lie below: of the fired, 2 to 16 µm, the last quarter is cut; of the finer the first.
    expect(lines.map((points) => points[0]?.[1])).toEqual([
      136,
      expect.closeTo(y(undersizeAt(curve(0.5), from)), 0),
      136,
    ]);
    expect(lines.map((points) => points.at(-1)?.[1])).toEqual([
      expect.closeTo(y(undersizeAt(curve(2), to)), 0),
      12,
      12,
    ]);
  });
  test("the product is bold, the others dashed each in its own way", () => {
    expect([...svg.matchAll(/stroke-dasharray="([^"]*)"/g)].map((m) => m[1])).toEqual(["7 4", "2 3"]);
    expect(svg).toContain('stroke-width="2.4"');
  });
  test("names stand beside their lines, on the side where the line runs, and are written as text", () => {
    const text = (name: string) =>
      new RegExp(`<text x="([\\d.]+)" y="([\\d.]+)" text-anchor="(\\w+)"[^>]*>${name}<`)
        .exec(svg)
        ?.slice(1, 4);
    // Half of the share of 0.85 is above 0.75: x = 4·2^(0.1/0.25)·2 for the fired, were it still inside: it is named at
    // four fifths of the picture's end.
    const fired = text("fired &lt;1&gt;");
    expect(Number(fired?.[0])).toBeCloseTo(x(to * 0.8) + 8, 0);
    expect(Number(fired?.[1])).toBeCloseTo(y(undersizeAt(curve(2), to * 0.8)) + 4, 0);
    expect(fired?.[2]).toBe("start");
    const finer = text("finer");
    expect(Number(finer?.[0])).toBeCloseTo(x(2 ** 0.2) - 8, 0);
    expect(Number(finer?.[1])).toBeCloseTo(y(0.35) + 4, 0);
    expect(finer?.[2]).toBe("end");
    const own = text("milled");
    expect(Number(own?.[0])).toBeCloseTo(x(2 * 2 ** 0.7) + 8, 0);
    expect(Number(own?.[1])).toBeCloseTo(y(0.6) + 4, 0);
  });
  test("another line that stays inside is named at 85 % of the powder", () => {
    const alike = overlaySvg(
      { name: "milled", curve: curve(1) },
      [{ name: "twin", curve: curve(0.9) }],
      null,
    );
    const at = /<text x="[\d.]+" y="([\d.]+)" text-anchor="end"[^>]*>twin</.exec(alike)?.[1];
    expect(Number(at)).toBeCloseTo(y(0.85) + 4, 1);
  });
  test("the band goes there along its upper side and back along its lower, as far as the picture shows", () => {
    const [points = []] = [...svg.matchAll(/<polygon points="([^"]*)"/g)].map((m) =>
      (m[1] ?? "").split(" ").map((p) => Number(p.split(",")[1])),
    );
    const heights = [0, 0.3, 0.8, 1, 0.9, 0.7, 0.2, 0].map(y);
    expect(points).toEqual(heights.map((v) => expect.closeTo(v, 0)));
    expect(overlaySvg({ name: "a", curve: curve(1) }, [], null)).not.toContain("<polygon");
    expect(
      overlaySvg({ name: "a", curve: curve(1) }, [], {
        sizesUm: [2, 1000],
        lowShares: [0, 1],
        highShares: [0, 1],
      }),
    ).not.toContain("<polygon");
  });
  test("per cents stand at their heights, sizes on their lines", () => {
    const labels = [...svg.matchAll(/<text x="40" y="([\d.]+)" text-anchor="end">(\d+)</g)].map((m) => [
      Number(m[2]),
      Number(m[1]),
    ]);
    expect(labels).toEqual([0, 25, 50, 75, 100].map((p) => [p, expect.closeTo(y(p / 100) + 4, 1)]));
    expect([...svg.matchAll(/y="150" text-anchor="middle">([\d.]+)</g)].map((m) => m[1])).toEqual([
      "1",
      "2",
      "5",
      "10",
    ]);
    expect(svg).toContain('<text x="376" y="172" text-anchor="middle">size, µm</text>');
    expect(svg).toContain('<text x="12" y="74" transform="rotate(-90 12 74)"');
  });
  test("what markup would read is written out", () =>
    expect(escaped('<a & "b">')).toBe("&lt;a &amp; &quot;b&quot;&gt;"));
});

test("a separator's points stand at the geometric mids, its curve is what is thrown back", () => {
  const picture = separatorPicture(
    {
      edgesUm: [1, 4, 16],
      feed: [],
      fines: [],
      coarse: [],
      fineYield: 0.5,
      fineYieldOfCurves: 0.5,
      closureRmsPoints: 0,
      closureMaxPoints: 0,
      thrownBack: [null, 0.75],
    },
    { cutUm: 4, sharpness: 0.5, bypassShare: 0.2, standardErrors: null, rmsPoints: 0, status: "converged" },
  );
  expect(picture.points).toEqual([{ x: 8, y: 75 }]);
  expect(picture.sizesUm).toHaveLength(121);
  expect([picture.sizesUm[0], picture.sizesUm.at(-1)]).toEqual([1, 16]);
  // At the cut half of what is not bypassed: 0.2 + 0.8/2.
  expect(picture.fitted[60]).toBeCloseTo(60, 9);
  expect(
    separatorPicture(
      {
        edgesUm: [1, 4],
        feed: [],
        fines: [],
        coarse: [],
        fineYield: 0.5,
        fineYieldOfCurves: 0.5,
        closureRmsPoints: 0,
        closureMaxPoints: 0,
        thrownBack: [null],
      },
      null,
    ).fitted[0],
  ).toBeNull();
});
