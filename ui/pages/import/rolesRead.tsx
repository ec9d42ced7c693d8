import type { ListReading, TableReading } from "#distributions/tables/reading/tableReading.ts";
import { reading } from "#ui/data/readTables.ts";
import { Wide } from "#ui/parts/wide.tsx";

const mostLists = 40;

/** What each column or row of each table was taken for, so that a wrong reading is seen at a glance. */
export function RolesRead() {
  const tables = (reading.value?.tables ?? []).slice(0, 6);
  return (
    <>
      {tables.map((table) => (
        <Wide
          key={`${table.sheet ?? ""} ${table.firstRow} ${table.lists[0]?.place.column}`}
          name="What each list is"
        >
          <table>
            <caption>{captionOf(table)}</caption>
            <thead>
              <tr>
                {["Where", "Heading", "Read as"].map((name) => (
                  <th scope="col" key={name}>
                    {name}
                  </th>
                ))}
              </tr>
            </thead>
            <tbody>{table.lists.slice(0, mostLists).map(rowOf)}</tbody>
          </table>
        </Wide>
      ))}
    </>
  );
}

function captionOf({ sheet, firstRow, lastRow, lists }: TableReading): string {
  const where = sheet === undefined ? "" : ` of the sheet ${sheet}`;
  const more = lists.length > mostLists ? `; ${lists.length - mostLists} more are not listed` : "";
  return `Table${where}, rows ${firstRow ?? "?"} to ${lastRow ?? "?"}${more}`;
}

function rowOf({ place, heading, role, kind }: ListReading) {
  const where = place.column === null ? `row ${place.row ?? "?"}` : `column ${place.column}`;
  return (
    <tr key={`${where} ${heading}`}>
      <td>{where}</td>
      <th scope="row">{heading === "" ? "no heading" : heading}</th>
      <td>{kind === "left out" ? <em>{role}</em> : role}</td>
    </tr>
  );
}
