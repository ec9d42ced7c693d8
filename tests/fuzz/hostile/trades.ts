import { drawFrom } from "../../distributions/tables/draw.ts";
import { exportKinds } from "./exportKinds.ts";
import type { Hostile } from "./hostile.ts";
import { type KindOf, tableOfKind } from "./kind.ts";
import { labKinds } from "./labKinds.ts";
import { noCurveKinds } from "./noCurveKinds.ts";
import { sheetKinds } from "./sheetKinds.ts";

/** Lines that a report of a laboratory has around its table. */
const noteLines = [
  "report 2026-114, page 1 of 2",
  "prepared 04.03.2026 14:30",
  "method: dry, 2 bar",
  "sample mass (g): 1.2",
  "lens 100 mm",
  "detection limit 0.02 %",
  "reviewed by the shift lead",
  "laser 633 nm",
  "smallest size 20 nm, largest 2 mm",
  "n = 3",
  "Messbereich 0,1 - 875 µm",
  "測定日 2026/03/04",
  "fit residual 0.41 %",
  "this replaces report 2026-098",
];

const kinds: readonly KindOf[] = [...labKinds, ...sheetKinds, ...noCurveKinds];

/** A table as a laboratory system, a spreadsheet or a hand makes it, or one that only looks like a size distribution. */
export function tradeOf(seed: number): Hostile {
  const draw = drawFrom(seed + 91_000_000);
  return tableOfKind(seed, draw, { kind: draw.pick(kinds), noteLines });
}

/** A table as an instrument exports it or a laboratory book holds it. */
export function exportOf(seed: number): Hostile {
  const draw = drawFrom(seed + 123_000_000);
  return tableOfKind(seed, draw, { kind: draw.pick(exportKinds), noteLines });
}
