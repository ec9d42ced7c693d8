import { describe, expect, test } from "vitest";
import { curveOf, undersizeAt } from "#distributions/curve.ts";
import { geometricSurface } from "#distributions/moments.ts";
import type { BandRow } from "#model/band/band.ts";
import { sizeShift } from "#model/band/sizeShift.ts";
import { bandOf } from "../plainPowders.ts";
import { powder } from "../powder.ts";

describe("what brings a lot back", () => {
  // Every limit goes with size in its own way; the grid steps by ln 2/160, 0.43 %.
  const edges = Array.from({ length: 241 }, (_, i) => 0.05 * 4000 ** (i / 240));
  const lot = [3.3, 3.3].map((um) => powder(um, 1.5, edges));
  const between = (row: BandRow) => {
    const found = sizeShift(lot, bandOf([row]));
    return [found?.fromPercent ?? null, found?.toPercent ?? null, found?.sizeChangePercent ?? null];
  };
  const near = (percent: number) => expect.closeTo(percent, 0);
  test("D50 goes with the factor", () => {
    const [from, to, best] = between({ limit: "d50Um", low: 2.9, high: 3.1 });
    expect(from).toBeGreaterThanOrEqual(100 * (2.9 / 3.3 - 1) - 0.01);
    expect(from).toBeLessThan(100 * (2.9 / 3.3 - 1) + 0.45);
    expect(to).toBeLessThanOrEqual(100 * (3.1 / 3.3 - 1) + 0.01);
    expect(to).toBeGreaterThan(100 * (3.1 / 3.3 - 1) - 0.45);
    // Without a chance the middle of the limits has the most room.
    expect(best).toEqual(near(100 * (3 / 3.3 - 1)));
  });
  test("the area goes against it, a share below a size with the size over the factor, a span not at all", () => {
    const area = lot[0] === undefined ? 0 : (geometricSurface(lot[0].distribution, 4.5)?.m2PerG ?? 0);
    expect(between({ limit: "surfaceM2PerG", low: area * 1.2, high: area * 1.6 })).toEqual([
      near(-37.5),
      near(-16.7),
      near(100 * (1 / 1.4 - 1)),
    ]);
    const share = lot[0] === undefined ? 0 : undersizeAt(curveOf(lot[0].distribution), 2.5);
    expect(between({ limit: "belowShare", sizeUm: 2, low: share, high: null })[1]).toEqual(near(-20));
    const span = sizeShift(lot, bandOf([{ limit: "span", low: 5, high: 6 }]));
    expect(span).toMatchObject({ fromPercent: null, toPercent: null, inTheWay: [{ limit: "span" }] });
  });
  test("half to twice the size is looked at, and limits that no size meets together are named", () => {
    expect(between({ limit: "d50Um", low: 0, high: null }).slice(0, 2)).toEqual([near(-50), near(100)]);
    // D90/D10 of a log-normal is 1.5^2.563 = 2.83: both limits at once ask for less than 2.
    const both = sizeShift(
      lot,
      bandOf([
        { limit: "d10Um", low: 2, high: null },
        { limit: "d90Um", low: null, high: 4 },
      ]),
    );
    expect(both?.inTheWay.map((row) => row.limit)).toEqual(["d10Um", "d90Um"]);
    expect(both?.fromPercent).toBeNull();
    expect(sizeShift([], bandOf([{ limit: "d50Um", low: 1, high: 2 }]))).toBeNull();
    expect(sizeShift(lot, bandOf([]))).toBeNull();
  });
});
