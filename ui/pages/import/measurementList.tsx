import type { Problem } from "#distributions/problem.ts";
import type { MeasurementOutcome } from "#distributions/tables/values/outcomes.ts";
import { reading } from "#ui/data/readTables.ts";
import { unbroken } from "#ui/parts/format.ts";
import { whereOf } from "#ui/parts/problemList.tsx";
import { Wide } from "#ui/parts/wide.tsx";

const maxRows = 100;
const order: readonly MeasurementOutcome["state"][] = [
  "refused",
  "needs an answer",
  "read with notes",
  "read",
];

/** What became of each measurement of the file that is looked at, those that want something first. */
export function MeasurementList() {
  const outcomes = reading.value?.outcomes ?? [];
  if (outcomes.length < 2) return null;
  const counts = order.flatMap((state) => {
    const count = outcomes.filter((o) => o.state === state).length;
    const words = count > 1 && state === "needs an answer" ? "need an answer" : state;
    return count === 0 ? [] : [`${count.toLocaleString("en-GB")} ${words}`];
  });
  const rows = order.flatMap((state) => outcomes.filter((o) => o.state === state)).slice(0, maxRows);
  return (
    <details>
      <summary>Each measurement: {counts.join(", ")}</summary>
      <Wide name="State of each measurement">
        <table>
          <thead>
            <tr>
              {["Measurement", "State", "Where", "Found", "Expected", "Effect", "What to do"].map((name) => (
                <th scope="col" key={name}>
                  {name}
                </th>
              ))}
            </tr>
          </thead>
          <tbody>{rows.map(rowsOf)}</tbody>
        </table>
      </Wide>
      {rows.length < outcomes.length && (
        <p class="quiet">
          {(outcomes.length - rows.length).toLocaleString("en-GB")} more are not listed here.
        </p>
      )}
    </details>
  );
}

/** A row for each thing said of it; one row where nothing was. */
function rowsOf({ measurement, state, problems }: MeasurementOutcome, at: number) {
  const said: readonly (Problem | null)[] = problems.length === 0 ? [null] : problems;
  return said.map((p, i) => (
    <tr key={`${at} ${i}`}>
      {i === 0 && (
        <>
          <th scope="row" rowSpan={said.length}>
            {measurement}
          </th>
          <td rowSpan={said.length}>{state}</td>
        </>
      )}
      <td>{p === null ? "" : whereOf({ ...p, measurement: null })}</td>
      <td>{unbroken(p?.found ?? "")}</td>
      <td>{unbroken(p?.expected ?? "")}</td>
      <td>{unbroken(p?.effect ?? "")}</td>
      <td>{unbroken(p?.message ?? "")}</td>
    </tr>
  ));
}
