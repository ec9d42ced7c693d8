import { type Curve, undersizeAt } from "#distributions/curve.ts";

/** The undersize of a stage, small, over 33 sizes that all of its neighbours share. */
export function SmallCurve({ curve, sizes }: { curve: Curve; sizes: readonly number[] }) {
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
