import type { NamedMeasurement } from "#distributions/sizeDistribution.ts";
import { lotSizes } from "#model/answers/lot/lotSizes.ts";
import type { OverRuns } from "#model/lot/overRuns.ts";
import { sizesBeside } from "#model/pictures/sizesBeside.ts";
import { PictureFigure } from "#ui/charts/picture.tsx";
import { figures, range } from "#ui/parts/format.ts";
import { Wide } from "#ui/parts/wide.tsx";

/** D10, D50 and D90 of stages or lots on one axis of sizes, each with its interval, and as a table. */
export function SizesBeside(props: {
  of: readonly { readonly name: string; readonly measurements: readonly NamedMeasurement[] }[];
  /** What the rows are. */
  what: string;
  /** What the picture shows. */
  name: string;
}) {
  const rows = props.of.flatMap(({ name, measurements }) => {
    const sizes = lotSizes(measurements);
    return sizes === null ? [] : [{ name, ...sizes }];
  });
  if (rows.length === 0) return null;
  return (
    <>
      <PictureFigure
        draw={(width) => sizesBeside(rows, { name: spoken(props.name, rows), width })}
        caption="Filled: D50; hollow: D10 and D90, by volume. Whiskers: 95 % intervals over the runs."
      />
      <Wide name={props.name}>
        <table>
          <thead>
            <tr>
              <th scope="col">{props.what}</th>
              {["D10", "D50", "D90"].map((size) => (
                <th scope="col" key={size}>
                  {size}, µm (95 %)
                </th>
              ))}
              <th scope="col" class="number">
                Runs
              </th>
            </tr>
          </thead>
          <tbody>
            {rows.map(({ name, d10Um, d50Um, d90Um }) => (
              <tr key={name}>
                <th scope="row">{name}</th>
                {[d10Um, d50Um, d90Um].map((size, i) => (
                  <td key={i} data-how="undersize, percentiles">
                    {sure(size)}
                  </td>
                ))}
                <td class="number">{d50Um.runs}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </Wide>
    </>
  );
}

function sure({ value, low, high }: OverRuns): string {
  if (value === null) return "not known";
  return low === null || high === null ? figures(value) : `${figures(value)} (${range(low, high, "")})`;
}

/** All that a screen reader gets before the table. */
function spoken(name: string, rows: readonly { readonly name: string; readonly d50Um: OverRuns }[]): string {
  return `${name}: ${rows.map((row) => `${row.name} D50 ${sure(row.d50Um)} µm`).join("; ")}.`;
}
