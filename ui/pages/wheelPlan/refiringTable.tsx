import { band } from "#ui/data/selection.ts";
import { signed } from "#ui/parts/format.ts";
import { Wide } from "#ui/parts/wide.tsx";
import { excludedLots, includeLot } from "./priors.ts";
import { refiredLots, refiring } from "./refiring.ts";

const shown = [10, 50, 90] as const;

/** Growth of the saved lots on re-firing; each can be excluded, as after a change of furnace. */
export function RefiringTable() {
  if (band.value?.stage === refiring.value?.from || refiredLots.value.length === 0) return null;
  return (
    <details>
      <summary>Re-firing growth of your lots, which sets the target before re-firing</summary>
      <Wide name="Growth on re-firing">
        <table>
          <caption class="quiet">
            Growth from milled to re-fired, mean over runs. Exclude lots that are not representative, such as
            those fired differently.
          </caption>
          <thead>
            <tr>
              <th scope="col">Lot</th>
              {shown.map((p) => (
                <th scope="col" key={p}>
                  D{p}
                </th>
              ))}
              <th scope="col">Included</th>
            </tr>
          </thead>
          <tbody>
            {refiredLots.value.map(({ id, pair }) => (
              <tr key={id}>
                <th scope="row">{pair.lot}</th>
                {shown.map((p) => {
                  const i = pair.percents.indexOf(p);
                  const ratio = (pair.refiredUm[i] ?? 1) / (pair.milledUm[i] ?? 1);
                  return (
                    <td class="number" key={p}>
                      {signed(100 * (ratio - 1), "%")}
                    </td>
                  );
                })}
                <td>
                  <input
                    type="checkbox"
                    aria-label={`Include ${pair.lot}`}
                    checked={!excludedLots.value.has(id)}
                    onChange={(event) => includeLot(id, event.currentTarget.checked)}
                  />
                </td>
              </tr>
            ))}
          </tbody>
        </table>
      </Wide>
    </details>
  );
}
