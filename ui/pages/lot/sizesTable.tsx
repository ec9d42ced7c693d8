import type { OverRuns } from "#model/lot/overRuns.ts";
import { figures, range, withUnit } from "#ui/parts/format.ts";
import { Wide } from "#ui/parts/wide.tsx";
import { described, quantity } from "./sizesState.ts";

/** Sizes, means and area: over the runs with their intervals first, then each run. */
export function SizesTable() {
  const { measurements, lots } = described.value;
  const percents = Object.keys(measurements[0]?.percentilesUm ?? {});
  const [lot] = lots;
  return (
    <Wide name="Sizes and areas">
      <table>
        <caption class="quiet">
          Sizes in µm, weighted by {quantity.value}; D[p,q] as measured; area of smooth dense spheres in m²/g.
          Intervals: 95 %, Student's t over the runs, around their geometric mean; the verdict uses the
          arithmetic mean.
        </caption>
        <thead>
          <tr>
            <th scope="col">Run</th>
            {percents.map((p) => (
              <th scope="col" key={p}>
                D{p}
              </th>
            ))}
            <th scope="col">Span</th>
            <th scope="col">D[4,3]</th>
            <th scope="col">D[3,2]</th>
            <th scope="col">D[1,0]</th>
            <th scope="col">Area</th>
          </tr>
        </thead>
        <tbody>
          {lot !== undefined && lot.runs.length > 1 && (
            <tr class="whole">
              <th scope="row">All {lot.runs.length}</th>
              {percents.map((p) => (
                <Sure key={p} over={lot.percentilesUm[p]} />
              ))}
              <Sure over={lot.span} />
              <Sure over={lot.meansUm["4,3"]} />
              <Sure over={lot.meansUm["3,2"]} />
              <Sure over={lot.meansUm["1,0"]} />
              <Sure over={lot.surfaceM2PerG} />
            </tr>
          )}
          {measurements.map((m) => (
            <tr key={m.name}>
              <th scope="row">{m.name}</th>
              {percents.map((p) => (
                <td class="number" key={p} data-how="undersize, percentiles">
                  {figures(m.percentilesUm[p] ?? null)}
                </td>
              ))}
              <td class="number" data-how="undersize, percentiles">
                {figures(m.span)}
              </td>
              <td class="number" data-how="mean diameters">
                {figures(m.meansUm["4,3"])}
              </td>
              <td class="number" data-how="mean diameters">
                {figures(m.meansUm["3,2"])}
              </td>
              <td class="number" data-how="mean diameters">
                {figures(m.meansUm["1,0"])}
              </td>
              <td class="number" data-how="geometric area">
                {m.surfaceIsLowerBound ? "≥ " : ""}
                {withUnit(m.surfaceM2PerG, "")}
              </td>
            </tr>
          ))}
        </tbody>
      </table>
    </Wide>
  );
}

/** A value with its interval below it. */
function Sure({ over }: { over: OverRuns | undefined }) {
  if (over === undefined) return <td class="number">not known</td>;
  return (
    <td class="number" data-how="interval over runs">
      {figures(over.value)}
      {over.low !== null && <div class="quiet">{range(over.low, over.high, "")}</div>}
    </td>
  );
}
