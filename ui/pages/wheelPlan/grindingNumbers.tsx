import { figures } from "#ui/parts/format.ts";
import { Wide } from "#ui/parts/wide.tsx";
import { fitted } from "./product.ts";
import { heldWords, product, yieldWords } from "./wholeProduct.ts";

/** The balance at this setting in numbers, and which of them are fitted, derived or assumed. */
export function GrindingNumbers() {
  const found = product.value;
  const shape = fitted.value;
  if (found === null || shape === null) return null;
  const isAssumed = shape.status === "assumed";
  const errors = shape.standardErrors;
  const rows: [string, string, string][] = [
    [
      "Cut size the balance needs for this D50",
      `${figures(found.cutUm)} µm`,
      "derived, for the circulating powder, which is mostly coarse. Not the calculated classifier cut above, which is for single particles in free gas",
    ],
    ["Circulating load", figures(found.recycle), "derived"],
    [
      "Throughput at the same hold-up, relative to the middle of the trials",
      `${figures(found.throughput.middle)} (${figures(found.throughput.low)}–${figures(found.throughput.high)})`,
      "derived; the range covers the grinding intensity, which percentiles do not fix",
    ],
    ["Breakage at the cut over feed to the wheel (U)", figures(found.load), isAssumed ? "assumed" : "fitted"],
    [
      "Sharpness κ",
      `${figures(shape.shape.sharpness)}${errors === null ? "" : ` ± ${figures(errors[0])}`}`,
      isAssumed ? "assumed" : "fitted; ± from curvature, not a confidence interval",
    ],
    [
      shape.shape.fragmentKind === "power"
        ? "Breakage function: share of fragments finer than z times their parent is z to the power"
        : "Breakage function: share of fragments finer than z times their parent is (1 − exp(−z^n))/(1 − exp(−1)), n",
      `${figures(shape.shape.fragmentExponent)}${errors === null ? "" : ` ± ${figures(errors[1])}`}`,
      isAssumed ? "assumed" : "fitted; ± from curvature, not a confidence interval",
    ],
    ["Exponent of breakage rate on size", figures(shape.shape.rateExponent), "assumed"],
    [
      "Largest gap to the curves of the trials",
      shape.maxGapPoints === null ? "–" : `${figures(shape.maxGapPoints)} points`,
      isAssumed ? "no curve to compare" : "measured",
    ],
    found.jet === null
      ? ["Energy of the jets", "–", "enter the pressure before the nozzles on the page Equipment"]
      : [
          "Power of the jets, without loss",
          `${figures(found.jet.powerKW)} kW${found.jet.energyKWhPerKg === null ? "" : `, ${figures(found.jet.energyKWhPerKg)} kWh/kg`}`,
          `derived from ${figures(found.jet.gasKgPerH)} kg/h of gas; a compressor takes more`,
        ],
    ["Yield", yieldWords.value, "product collected over feed, from your trials"],
    ["Mean residence time", heldWords.value, "hold-up over feed, from your trials"],
  ];
  return (
    <Wide name="The balance in numbers">
      <table>
        <thead>
          <tr>
            <th scope="col">At this setting</th>
            <th scope="col">Value</th>
            <th scope="col">Basis</th>
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
