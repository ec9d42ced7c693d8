import { describe, expect, test } from "vitest";
import { curveOf, undersizeAt } from "#distributions/curve.ts";
import { sizeDistribution } from "#distributions/sizeDistribution.ts";
import { neckedShareOf } from "#model/compare/joining.ts";
import { powder } from "../powder.ts";

describe("joining on re-firing", () => {
  const wide = Array.from({ length: 161 }, (_, i) => 0.05 * 4000 ** (i / 160));
  const milled = [-0.004, 0, 0.004].map((part) => powder(3 * (1 + part), 1.5, wide));
  const refired = (times: number, share: number, growth = 1) =>
    milled.map((m) => {
      const curve = curveOf(m.distribution);
      const q = wide.map(
        (x) => (1 - share) * undersizeAt(curve, x / growth) + share * undersizeAt(curve, x / growth / times),
      );
      return {
        ...m,
        distribution: sizeDistribution({
          quantity: "volume",
          lowerUm: wide.slice(0, -1),
          upperUm: wide.slice(1),
          shares: q.slice(1).map((v, i) => v - (q[i] ?? 0)),
          belowShare: q[0] ?? 0,
          aboveShare: 1 - (q.at(-1) ?? 1),
        }),
      };
    });
  test.each([1.5, 2, 2.5, 3, 4, 5])("a tenth joined %f times as large is found as that", (times) => {
    const found = neckedShareOf(milled, refired(times, 0.1), 0.95);
    expect(found?.timesLarger).toBe(times);
    expect(found?.share.value).toBeCloseTo(0.1, 2);
    expect(found?.growthPercent.value).toBeCloseTo(0, 0);
  });
  test.each([-15, 12, 60])("growth of %f %% is found beside it", (percent) => {
    const found = neckedShareOf(milled, refired(3, 0.15, 1 + percent / 100), 0.95);
    expect(found?.growthPercent.value).toBeCloseTo(percent, 0);
    expect(found?.share.value).toBeCloseTo(0.15, 2);
    expect(found?.verdict).toBe(percent > 0 ? "joining and growth" : "joining");
  });
  test("powder open below its tenth is not judged", () => {
    const open = milled.map((m) => ({
      ...m,
      distribution: sizeDistribution({
        quantity: "volume",
        lowerUm: [1, 2],
        upperUm: [2, 4],
        shares: [0.4, 0.4],
        belowShare: 0.2,
      }),
    }));
    expect(neckedShareOf(open, open, 0.95)).toBeNull();
  });
});
