import type { Block } from "#distributions/tables/layout/block.ts";
import { apertureUm } from "#distributions/tables/text/meshNumbers.ts";
import type { DecimalMark } from "#distributions/tables/text/numbers.ts";
import type { ReadingOptions, UnitOption } from "#distributions/tables/text/readingOptions.ts";
import { sizeIn } from "#distributions/tables/text/sizeText.ts";
import { unitIn } from "#distributions/tables/text/words.ts";
import { type Known, known } from "./seriesContext.ts";

export const umPer: Readonly<Record<UnitOption, number>> = {
  um: 1,
  nm: 1e-3,
  mm: 1e3,
  m: 1e6,
  phi: 1,
  mesh: 1,
};

/** The unit of the sizes of a table, by the answer given, a word of it, or µm where nothing says. */
export function unitOf(block: Block, options: ReadingOptions, mark: DecimalMark): Known<UnitOption> {
  const cellUnit =
    block.sizes
      .flatMap((list) => list.slice(0, 200).map((cell) => sizeIn(cell.text, mark)?.unit ?? null))
      .find((u) => u !== null) ?? null;
  const isMesh =
    /\bmesh\b/i.test(block.sizeHeading.replaceAll("_", " ")) &&
    (block.sizes[0] ?? []).every((cell) => {
      const size = sizeIn(cell.text, mark)?.value;
      return size === 0 || (size !== undefined && apertureUm(size) !== null);
    });
  const found = known<UnitOption>(
    options.unit,
    [unitIn(block.sizeHeading), `the heading "${block.sizeHeading}"`],
    [isMesh ? "mesh" : null, "the heading says mesh and every number is a mesh number"],
    [cellUnit, "the unit behind a size"],
    [block.notes.map(sizeUnitInNotes).find((u) => u !== null) ?? null, "a line of the notes"],
  );
  return found ?? { value: "um", source: "assumed", evidence: "no word says it" };
}

/** A line of notes that states the unit of the sizes. */
function sizeUnitInNotes(line: string): UnitOption | null {
  return /\b(sizes?|diameters?|apertures?|unit|edges?|class(es)?|units)\b/i.test(line) ||
    line.split(/\s+/).length <= 3
    ? unitIn(line)
    : null;
}
