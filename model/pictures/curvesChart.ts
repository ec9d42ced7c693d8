import type { Curve } from "#distributions/curve.ts";
import { itemAt, maxOf, minOf } from "#distributions/lists.ts";
import type { Envelope } from "#model/band/envelope.ts";
import type { Chart } from "./chartPicture.ts";
import { bandRangeUm, envelopeValues, overlaySizesUm, overlayValues } from "./overlay.ts";
import type { Look } from "./picture.ts";

const looks: readonly Look[] = ["firm", "dashed", "dotted", "long", "thin"];

/** Share finer over size, by volume, of some powders: over the sizes that hold nearly all of them and of the band. */
export function curvesChart(
  powders: readonly { readonly name: string; readonly curve: Curve }[],
  envelope: Envelope | null,
): Chart {
  const ranges = powders.map(({ curve }) => bandRangeUm(curve, envelope));
  const rangeUm = [minOf(ranges.map(([from]) => from)), maxOf(ranges.map(([, to]) => to))] as const;
  const xs = overlaySizesUm(rangeUm, 161);
  return {
    name: `Share finer over size: ${powders.map(({ name }) => name).join(", ")}`,
    x: { label: "size, µm", range: rangeUm, log: true },
    y: { label: "% finer, by volume", range: [0, 100] },
    xs,
    lines: powders.map(({ name, curve }, i) => ({
      label: name,
      look: itemAt(looks, i % looks.length),
      values: overlayValues(curve, xs, "undersize"),
    })),
    fills:
      envelope === null
        ? []
        : [{ high: envelopeValues(envelope, "high", xs), low: envelopeValues(envelope, "low", xs) }],
    marks: [],
  };
}
