import { type Curve, undersizeAt } from "#distributions/curve.ts";
import { overlayRangeUm, overlaySizesUm } from "#model/pictures/overlay.ts";

/** The undersize of a stage, small, over the sizes that all of these curves share. */
export function SmallCurve({ curve, among }: { curve: Curve; among: readonly Curve[] }) {
  const sizes = overlaySizesUm(overlayRangeUm(among), 33);
  return (
    <svg viewBox="0 0 64 20" preserveAspectRatio="none" aria-hidden="true">
      <polyline
        stroke="var(--stage)"
        vector-effect="non-scaling-stroke"
        points={sizes.map((x, i) => `${2 * i},${(20 - 20 * undersizeAt(curve, x)).toFixed(1)}`).join(" ")}
      />
    </svg>
  );
}
