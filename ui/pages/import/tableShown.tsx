import type { ListReading, TableReading } from "#distributions/tables/reading/tableReading.ts";
import { placeKey, type Role } from "#distributions/tables/text/roles.ts";
import { incoming } from "#ui/data/incoming.ts";
import { figures, unbroken } from "#ui/parts/format.ts";
import { Wide } from "#ui/parts/wide.tsx";
import { sayRoles } from "./importState.ts";
import { effects, rolesAfter, type ShownTable, shownTables, smallCurves } from "./tableShownState.ts";

const maxLists = 24;
const maxCells = 10;

/** The table itself with the role of each column or row written on it; a press changes one, and the curve beside it follows. */
export function TableShown() {
  const isSaid = incoming.value.options.roles !== undefined;
  return (
    <>
      <div style={{ display: "flex", flexWrap: "wrap", gap: "1rem", alignItems: "start" }}>
        {shownTables.value.map((one) => (
          <OneTable key={`${one.table.sheet ?? ""} ${one.table.firstRow} ${one.rows.length}`} {...one} />
        ))}
        <SmallCurves />
      </div>
      {isSaid && (
        <p>
          Columns and rows are read as you said.{" "}
          <button type="button" onClick={() => sayRoles(null)}>
            Read them as found again
          </button>
        </p>
      )}
    </>
  );
}

function OneTable({ table, rows, left }: ShownTable) {
  const lists = table.lists.slice(0, maxLists);
  return (
    <Wide name="The table as it is read">
      <table>
        <caption>{captionOf(table, left)}</caption>
        {table.layout === "rows" ? <Across lists={lists} rows={rows} /> : <Down lists={lists} rows={rows} />}
      </table>
    </Wide>
  );
}

function Down({ lists, rows }: { lists: readonly ListReading[]; rows: ShownTable["rows"] }) {
  return (
    <>
      <thead>
        <tr>
          <th scope="col">Row</th>
          {lists.map((list) => (
            <th scope="col" key={placeKey(list.place)}>
              <RoleOf list={list} />
            </th>
          ))}
        </tr>
      </thead>
      <tbody>
        {rows.map(({ row, cells }) => (
          <tr key={row}>
            <th scope="row">{row}</th>
            {lists.map((list) => (
              <CellOf
                key={placeKey(list.place)}
                list={list}
                text={cells[(list.place.column ?? 0) - 1] ?? ""}
              />
            ))}
          </tr>
        ))}
      </tbody>
    </>
  );
}

function Across({ lists, rows }: { lists: readonly ListReading[]; rows: ShownTable["rows"] }) {
  return (
    <tbody>
      {lists.map((list) => (
        <tr key={placeKey(list.place)}>
          <th scope="row">
            <RoleOf list={list} />
          </th>
          {(rows.find(({ row }) => row === list.place.row)?.cells ?? []).slice(0, maxCells).map((text, i) => (
            <CellOf key={`${i}`} list={list} text={text} />
          ))}
        </tr>
      ))}
    </tbody>
  );
}

function CellOf({ list, text }: { list: ListReading; text: string }) {
  return <td>{list.kind === "left out" ? <s>{text}</s> : text}</td>;
}

/** The heading, what it is read as, and the buttons that make it something else. */
function RoleOf({ list }: { list: ListReading }) {
  const key = placeKey(list.place);
  const where = list.place.column === null ? `row ${list.place.row ?? "?"}` : `column ${list.place.column}`;
  const isSizes = list.kind === "sizes";
  return (
    <>
      <span>{list.heading === "" ? where : unbroken(list.heading)}</span>
      <br />
      <em>{unbroken(list.role)}</em>
      <br />
      {!isSizes && list.place.column !== null && (
        <>
          <RoleButton place={key} as="sizes" label="Read as sizes" where={where} />
          <RoleButton place={key} as="sizes" label="Read as the other edge" where={where} isOther />
        </>
      )}
      {list.kind === "left out" && (
        <RoleButton place={key} as="measurement" label="Read as a measurement" where={where} />
      )}
      {list.kind === "measurement" && (
        <RoleButton place={key} as="left-out" label="Leave out" where={where} />
      )}
    </>
  );
}

function RoleButton(props: { place: string; as: Role; label: string; where: string; isOther?: boolean }) {
  const { place, as: role, label, where, isOther = false } = props;
  const effect = isOther ? undefined : effects.value.get(`${place}=${role}`);
  const says = `${label}${effect === undefined ? "" : `: ${effect}`}`;
  // The effect comes later than the button: its line is there before, so that nothing moves under a press.
  return (
    <button
      type="button"
      class="small role"
      aria-label={`${says} (${where})`}
      onClick={() => sayRoles(rolesAfter(place, role, isOther))}
    >
      {label}
      {!isOther && <span>{effect}</span>}
    </button>
  );
}

function captionOf({ sheet, firstRow, lastRow, lists }: TableReading, left: number): string {
  const where = sheet === undefined ? "" : ` of the sheet ${sheet}`;
  const more = lists.length > maxLists ? `; ${lists.length - maxLists} more columns are not shown` : "";
  const rows = left > 0 ? `; ${left} rows between are not shown` : "";
  return `Table${where}, rows ${firstRow ?? "?"} to ${lastRow ?? "?"}${rows}${more}`;
}

function SmallCurves() {
  const shown = smallCurves.value;
  if (shown === null) return null;
  const { fromUm, toUm, lines } = shown;
  const says = `Undersize of ${lines.map(({ name }) => name).join(", ")} from ${figures(fromUm)} to ${figures(toUm)} µm, as read`;
  return (
    <figure>
      <svg
        viewBox="-2 -2 104 104"
        width="220"
        height="160"
        preserveAspectRatio="none"
        role="img"
        aria-label={says}
      >
        <rect width="100" height="100" fill="none" stroke="currentColor" stroke-width="0.4" />
        {lines.map((line) => (
          <polyline
            key={line.name}
            points={line.points}
            fill="none"
            stroke="currentColor"
            stroke-width="1.5"
            vector-effect="non-scaling-stroke"
          />
        ))}
      </svg>
      <figcaption class="quiet">
        % finer, {figures(fromUm)} to {figures(toUm)} µm
      </figcaption>
    </figure>
  );
}
