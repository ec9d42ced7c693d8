import { chanceText } from "#model/words/wording.ts";
import { figures } from "#ui/parts/format.ts";
import { Wide } from "#ui/parts/wide.tsx";
import { mapTable } from "./inBandMapState.ts";

/** The map's chances as numbers. */
export function InBandMapTable() {
  const t = mapTable.value;
  if (t === null) return null;
  return (
    <Wide name="Chance of being in band">
      <table>
        <caption class="quiet">Chance of being in band, by gas flow in m³/h and speed in rpm</caption>
        <thead>
          <tr>
            <th scope="col">m³/h</th>
            {t.speeds.map((s) => (
              <th scope="col" key={s}>
                {Math.round(s).toLocaleString("en-GB")}
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {t.rows.map((r) => (
            <tr key={r.flow}>
              <th scope="row">{figures(r.flow)}</th>
              {r.chances.map((c, i) => (
                <td class="number" key={t.speeds[i]}>
                  {chanceText(c)}
                </td>
              ))}
            </tr>
          ))}
        </tbody>
      </table>
    </Wide>
  );
}
