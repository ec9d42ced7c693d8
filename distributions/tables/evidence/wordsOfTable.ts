import type { Block, Series } from "#distributions/tables/layout/block.ts";
import type { EdgeOption, ReadingOptions } from "#distributions/tables/text/readingOptions.ts";
import {
  edgeIn,
  edgeInNotes,
  quantityIn,
  quantityInNotes,
  scaleIn,
  speaksOfShares,
  valuesIn,
  valuesInNotes,
} from "#distributions/tables/text/words.ts";
import { type Known, known } from "./seriesContext.ts";
import type { Statement } from "./statement.ts";

/** The first line of the notes around a table that says something of its shares. */
function firstIn<T>(block: Block, look: (text: string) => T | null): T | null {
  return (
    block.notes
      .filter(speaksOfShares)
      .map(look)
      .find((x) => x !== null) ?? null
  );
}

/**
 * What the words of a table say of a series, the nearest word first: its own heading, the notes, the heading of the sizes.
 *
 * @param own  what the line above a table that Fineband wrote states; it goes before every other word
 */
export function wordsOfTable(block: Block, own: Statement | null) {
  const ownWord = "the line above the table";
  const notesWord = "a line of the notes";
  const sizesWord = "the heading of the sizes";
  const inNotes = {
    quantity: firstIn(block, quantityInNotes),
    values: firstIn(block, valuesInNotes),
    scale: firstIn(block, scaleIn),
  };
  const sizesScale = scaleIn(block.sizeHeading);
  return ({ heading, says }: Series) => {
    const word = `the heading "${heading}"`;
    return {
      values: [
        [own === null ? null : "class", ownWord],
        [valuesIn(says), word],
        [inNotes.values, notesWord],
      ],
      quantity: [
        [own?.quantity ?? null, ownWord],
        [quantityIn(says), word],
        [inNotes.quantity, notesWord],
        [quantityIn(block.sizeHeading), sizesWord],
      ],
      scale: [
        [own === null ? null : "fraction", ownWord],
        [scaleIn(says), word],
        // An amount named beside the sizes says nothing of the shares.
        [sizesScale === "amount" ? null : sizesScale, sizesWord],
        [inNotes.scale, notesWord],
      ],
    } as const;
  };
}

/** Which edges the sizes are: the answer given, two lists of them, or a word; else it stays open. */
export function edgeOf(
  block: Block,
  {
    options,
    isPhi,
    lists,
    shownEdge,
  }: { options: ReadingOptions; isPhi: boolean; lists: number; shownEdge: Block["edge"] | null },
): Known<EdgeOption> | null {
  if (options.edge !== undefined) return { value: options.edge, source: "option", evidence: "your answer" };
  if (lists === 2) return { value: "both", source: "table", evidence: "two columns of sizes" };
  const inHeading = edgeIn(block.sizeHeading);
  return known(
    undefined,
    [isPhi ? midOnly(inHeading) : inHeading, `the word in the heading "${block.sizeHeading}"`],
    [firstIn(block, edgeInNotes), "a line of the notes"],
    [block.edge?.edge ?? null, block.edge?.why ?? ""],
    [shownEdge?.edge ?? null, shownEdge?.why ?? ""],
  );
}

/** In phi the larger number is the smaller size, so upper and lower can mean either; mids stay mids. */
function midOnly(edge: EdgeOption | null): EdgeOption | null {
  return edge === "upper" || edge === "lower" ? null : edge === "arithmetic-mid" ? "geometric-mid" : edge;
}
