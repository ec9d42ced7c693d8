import { computed, signal } from "@preact/signals";
import { curveOf, sizeAt } from "#distributions/curve.ts";
import type { Rows } from "#distributions/tables/layout/block.ts";
import { cellsRead } from "#distributions/tables/reading/cellsRead.ts";
import type { TableReading } from "#distributions/tables/reading/tableReading.ts";
import { readTable } from "#distributions/tables/readTable.ts";
import { placeKey, type Role, roles, rolesIn, rolesText } from "#distributions/tables/text/roles.ts";
import { overlayRangeUm, overlaySizesUm, overlayValues } from "#model/pictures/overlay.ts";
import { incoming } from "#ui/data/incoming.ts";
import { contentOf, isLarge, reading } from "#ui/data/readTables.ts";
import { figures } from "#ui/parts/format.ts";

const maxTables = 6;
const rowsAbove = 7;
const rowsAtEnd = 2;

/** A table as it stands in the file: some of its rows, by their numbers, as the roles are written on them. */
export interface ShownTable {
  readonly table: TableReading;
  readonly rows: readonly { readonly row: number; readonly cells: readonly string[] }[];
  readonly left: number;
}

export const shownTables = computed<readonly ShownTable[]>(() => {
  const found = reading.value;
  if (found === null || isLarge(incoming.value)) return [];
  return found.tables.slice(0, maxTables).map((table) => {
    const cells = cellsRead(incoming.value.text, found, table);
    return { table, ...rowsOf(table, cells) };
  });
});

function rowsOf({ firstRow, lastRow }: TableReading, cells: Rows): Pick<ShownTable, "rows" | "left"> {
  if (firstRow === null || lastRow === null) return { rows: [], left: 0 };
  const all = Array.from({ length: lastRow - firstRow + 1 }, (_, i) => firstRow + i);
  const isShort = all.length <= rowsAbove + rowsAtEnd;
  const shown = isShort ? all : [...all.slice(0, rowsAbove), ...all.slice(-rowsAtEnd)];
  return {
    rows: shown.map((row) => ({ row, cells: cells[row - 1] ?? [] })),
    left: all.length - shown.length,
  };
}

/** What a press would make of the roles: sizes go where they are said to be, and no longer where they were. */
export function rolesAfter(place: string, role: Role, isOther: boolean): string {
  const before = [...(rolesIn(incoming.value.options.roles ?? "") ?? [])];
  const kept = role === "sizes" && !isOther ? before.filter(([, was]) => was !== "sizes") : before;
  const sizes = isOther && !before.some(([, was]) => was === "sizes") ? sizePlaces() : [];
  return rolesText(new Map([...sizes.map((at): [string, Role] => [at, "sizes"]), ...kept, [place, role]]));
}

function sizePlaces(): string[] {
  const lists = reading.value?.tables[0]?.lists ?? [];
  return lists.filter((list) => list.kind === "sizes").map(({ place }) => placeKey(place));
}

/** What each press would do, by "place=role": the median, and how many measurements there are. */
export const effects = signal<ReadonlyMap<string, string>>(new Map());
const maxWeighed = 12;
let round = 0;

/** Works out what the presses would do, a reading at a time while the page idles. */
export async function weighRoles(): Promise<void> {
  const mine = ++round;
  effects.value = new Map();
  const { file, options } = incoming.value;
  const found = new Map<string, string>();
  const lists = isLarge(incoming.value) ? [] : (reading.value?.tables[0]?.lists ?? []).slice(0, maxWeighed);
  for (const { place } of lists)
    for (const role of roles) {
      await new Promise((resolve) => setTimeout(resolve, 20));
      if (mine !== round) return;
      const key = placeKey(place);
      const { measurements } = readTable(contentOf(incoming.value), file, {
        ...options,
        roles: rolesAfter(key, role, false),
      });
      const [first] = measurements;
      const um = first === undefined ? null : sizeAt(curveOf(first.distribution), 0.5);
      const count = `${measurements.length} ${measurements.length === 1 ? "measurement" : "measurements"}`;
      found.set(`${key}=${role}`, um === null ? count : `${count}, D50 ${figures(um)} µm`);
    }
  effects.value = found;
}

const maxCurves = 6;
const points = 60;

/** The undersize curves of what is read, as points of a small picture; null where nothing is. */
export const smallCurves = computed(() => {
  const curves = (reading.value?.measurements ?? [])
    .slice(0, maxCurves)
    .map(({ name, distribution }) => ({ name, curve: curveOf(distribution) }));
  if (curves.length === 0) return null;
  const [fromUm, toUm] = overlayRangeUm(curves.map(({ curve }) => curve));
  const sizesUm = overlaySizesUm([fromUm, toUm], points);
  return {
    fromUm,
    toUm,
    lines: curves.map(({ name, curve }) => ({
      name,
      points: overlayValues(curve, sizesUm, "undersize")
        .map((percent, i) => `${((100 * i) / (points - 1)).toFixed(1)},${(100 - percent).toFixed(1)}`)
        .join(" "),
    })),
  };
});
