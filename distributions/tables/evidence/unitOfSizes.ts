import type { Block } from "#distributions/tables/layout/block.ts";
import { wordsIn } from "#distributions/tables/text/lexicon.ts";
import { apertureUm } from "#distributions/tables/text/meshNumbers.ts";
import { sizeUnitInNotes } from "#distributions/tables/text/noteUnits.ts";
import type { Parsed } from "#distributions/tables/text/parsed.ts";
import type { UnitOption } from "#distributions/tables/text/readingOptions.ts";
import { foreignUnitIn, oddUnitPlace, otherQuantityIn, unitIn } from "#distributions/tables/text/units.ts";
import type { Evidence } from "./evidence.ts";

export const umPer: Readonly<Record<UnitOption, number>> = {
  um: 1,
  nm: 1e-3,
  mm: 1e3,
  m: 1e6,
  phi: 1,
  mesh: 1,
};

/** What speaks for a unit of the sizes; and a word in the unit's place that is none, which must be asked about. */
export interface UnitWords {
  readonly evidence: readonly Evidence<UnitOption>[];
  readonly odd: string | null;
  /** A word over the sizes that speaks of something else, such as a time; then it must be asked as well. */
  readonly other: string | null;
}

const looked = 200;

export function unitWordsOf(block: Block, parsed: Parsed): UnitWords {
  const about = "unit" as const;
  const heading = block.sizeHeading;
  const inHeading = unitIn(heading);
  const isMesh =
    /\bmesh\b/i.test(heading.replaceAll("_", " ")) &&
    (block.sizes[0] ?? []).every((cell) => {
      const size = parsed.size(cell.text)?.value;
      return size === 0 || (size !== undefined && apertureUm(size) !== null);
    });
  const evidence: Evidence<UnitOption>[] = [];
  if (inHeading !== null)
    evidence.push({ about, says: inHeading, from: "heading", words: `the heading "${heading}"` });
  if (isMesh)
    evidence.push({
      about,
      says: "mesh",
      from: "heading",
      words: "the heading says mesh and every number is a mesh number",
    });
  const inLines = (lines: readonly string[]) =>
    lines.flatMap((line): Evidence<UnitOption>[] => {
      const says = sizeUnitInNotes(line);
      return says === null
        ? []
        : [{ about, says, from: "note", words: `a line of the notes ("${line.slice(0, 60)}")` }];
    });
  const own = inLines(block.notes);
  const notes = own.length > 0 || evidence.length > 0 ? own : inLines(block.around ?? []);
  const inCells = block.sizes
    .flatMap((list) => list.slice(0, looked).map((cell) => parsed.size(cell.text)?.unit ?? null))
    .find((u) => u !== null);
  // A size with a unit of its own is taken in it, whatever the heading says; it stands for the others where nothing does.
  if (evidence.length + notes.length === 0 && inCells !== undefined && inCells !== null)
    evidence.push({ about, says: inCells, from: "heading", words: "the unit behind a size" });
  const odd = foreignUnitIn(heading) ?? (inHeading === null ? oddIn(heading) : null);
  const other = wordsIn(heading).some(({ meanings }) => meanings.includes("size"))
    ? null
    : otherQuantityIn(heading);
  return { evidence: [...evidence, ...notes], odd, other };
}

/** A word where the unit stands that is neither a unit nor a word of sizes. */
function oddIn(heading: string): string | null {
  const odd = oddUnitPlace(heading);
  if (odd === null || wordsIn(odd).every((word) => word.meanings.length > 0)) return null;
  return odd;
}
