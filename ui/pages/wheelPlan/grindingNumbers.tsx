import { figures } from "#ui/parts/format.ts";
import { Wide } from "#ui/parts/wide.tsx";
import { fitted, heldWords, product, yieldWords } from "./product.ts";

/** What the balance says at this setting, and what of it is fitted, derived or assumed. */
export function GrindingNumbers() {
  const found = product.value;
  const shape = fitted.value;
  if (found === null || shape === null) return null;
  const isAssumed = shape.status === "assumed";
  const errors = shape.standardErrors;
  const rows: [string, string, string][] = [
    [
      "Cut that the balance needs for this median",
      `${figures(found.cutUm)} µm`,
      "derived: of the powder that circulates, most of it coarse, so that a blunt wheel lets a coarser median pass. No measure of the wheel's physical cut above, which is of single particles in free gas",
    ],
    ["Thrown back over the feed", figures(found.recycle), "derived"],
    [
      "Throughput at the same powder held, over that at the middle of the trials",
      `${figures(found.throughput.middle)} (${figures(found.throughput.low)}–${figures(found.throughput.high)})`,
      "derived; the range is over how hard the zone may grind, which percentiles do not tell",
    ],
    ["Breakage at the cut over the wheel's offer (U)", figures(found.load), isAssumed ? "assumed" : "fitted"],
    [
      "Sharpness κ",
      `${figures(shape.shape.sharpness)}${errors === null ? "" : ` ± ${figures(errors[0])}`}`,
      isAssumed ? "assumed" : "fitted; ± from curvature, no confidence",
    ],
    [
      shape.shape.fragmentKind === "power"
        ? "Fragments: share finer than z of a piece is z to the power"
        : "Fragments: share finer than z of a piece is (1 − exp(−z^n))/(1 − exp(−1)), n",
      `${figures(shape.shape.fragmentExponent)}${errors === null ? "" : ` ± ${figures(errors[1])}`}`,
      isAssumed ? "assumed" : "fitted; ± from curvature, no confidence",
    ],
    ["Breakage rate rises with size to the power", figures(shape.shape.rateExponent), "assumed"],
    [
      "Largest gap to the trials' curves",
      shape.maxGapPoints === null ? "–" : `${figures(shape.maxGapPoints)} points`,
      isAssumed ? "no curve to compare" : "measured",
    ],
    found.jet === null
      ? ["Energy of the jets", "–", "enter the pressure before the nozzles in the mill below"]
      : [
          "Power of the jets, without loss",
          `${figures(found.jet.powerKW)} kW${found.jet.energyKWhPerKg === null ? "" : `, ${figures(found.jet.energyKWhPerKg)} kWh/kg`}`,
          `derived from ${figures(found.jet.gasKgPerH)} kg/h of gas; a compressor takes more`,
        ],
    ["Yield", yieldWords.value, "product weighed over feed, from your trials"],
    ["Time powder stays", heldWords.value, "powder held over feed, from your trials"],
  ];
  return (
    <Wide name="The balance in numbers">
      <table>
        <thead>
          <tr>
            <th scope="col">At this setting</th>
            <th scope="col">Value</th>
            <th scope="col">Where it is from</th>
          </tr>
        </thead>
        <tbody>
          {rows.map(([name, value, from]) => (
            <tr key={name}>
              <th scope="row">{name}</th>
              <td>{value}</td>
              <td class="quiet">{from}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </Wide>
  );
}
