import { band } from "#ui/data/selection.ts";
import { signed } from "#ui/parts/format.ts";
import { Wide } from "#ui/parts/wide.tsx";
import { countLot, leftOut } from "./priors.ts";
import { refiredLots } from "./refiring.ts";

const shown = [10, 50, 90] as const;

/** What re-firing did to the kept lots; each can be left out, as after a change of furnace. */
export function RefiringTable() {
  if (band.value?.stage === "milled" || refiredLots.value.length === 0) return null;
  return (
    <details>
      <summary>What re-firing did to your lots: what the aim is set back by</summary>
      <Wide name="Growth on re-firing">
        <table>
          <caption class="quiet">
            Growth from milled to re-fired, mean over runs. A lot that does not speak for the next one, such
            as one fired otherwise, can be left out.
          </caption>
          <thead>
            <tr>
              <th scope="col">Lot</th>
              {shown.map((p) => (
                <th scope="col" key={p}>
                  D{p}
                </th>
              ))}
              <th scope="col">Counts</th>
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
                    aria-label={`${pair.lot} counts`}
                    checked={!leftOut.value.has(id)}
                    onChange={(event) => countLot(id, event.currentTarget.checked)}
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
