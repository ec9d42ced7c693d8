import { readTable } from "#distributions/tables/readTable.ts";
import type { Timed } from "./fits.ts";
import { timeOf } from "./timeOf.ts";

/** Tables of 100 sizes with 19 measurements each, read warm, as on each key press. */
export function timeReading(tables: Readonly<Record<"stated" | "open", string>>): Timed[] {
  const turns = 40;
  return [
    {
      job: "reading 100 x 20 cells, all stated",
      ms: timeOf(turns, () => read(tables.stated, 19)),
      accuracy: null,
    },
    {
      job: "reading 100 x 20 cells, edge and quantity open",
      ms: timeOf(turns, () => read(tables.open, 0)),
      accuracy: null,
    },
  ];
}

function read(table: string, count: number): void {
  const { measurements } = readTable(table, "bench", {});
  if (measurements.length !== count) throw new Error(`${measurements.length} measurements for ${count}`);
}
