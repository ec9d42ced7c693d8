import type { NamedMeasurement } from "../measured.ts";
import { type Problem, problem } from "../problem.ts";
import { decode } from "./decode.ts";
import { type Cells, readCells } from "./delimited.ts";
import { type Block, findBlock } from "./layout.ts";
import type { ReadingOptions, UnitOption } from "./readingOptions.ts";
import { nameSeries, readSeries } from "./readSeries.ts";
import type { SeriesContext } from "./seriesContext.ts";
import { type Sizes, sizesOf } from "./sizes.ts";
import { edgeIn, isMeanName, quantityIn, scaleIn, speaksOfShares, unitIn, valuesIn } from "./words.ts";

/** One thing that had to be decided to read the table, and on what evidence. */
export interface Guess {
  readonly option: keyof ReadingOptions | "delimiter" | "decimal mark" | "encoding";
  readonly value: string;
  readonly source: "option" | "table" | "assumed";
  readonly evidence: string;
}

export interface Reading {
  readonly file: string | null;
  readonly measurements: readonly NamedMeasurement[];
  readonly problems: readonly Problem[];
  readonly how: readonly Guess[];
}

/**
 * Reads a table of sizes and shares. Never throws: what cannot be read comes back as problems with their place.
 * What the table does not say about edges and quantity is asked, never guessed.
 *
 * @param table  bytes as received, or text
 * @param file   its name, for messages and for the name of a measurement without a heading
 */
export function readTable(table: Uint8Array | string, file: string | null, options: ReadingOptions): Reading {
  const decoded =
    typeof table === "string" ? { text: table.replace(/^\ufeff/, ""), encoding: "text" } : decode(table);
  if (decoded.text.trim() === "") {
    return refusal(
      file,
      problem("refused", "The table is empty. Copy the sizes with their shares, headings included.", {
        file,
        found: "nothing",
        expected: "a table of sizes and shares",
      }),
    );
  }
  const found = readCells(decoded.text);
  return readFound(found, file, options, [
    { option: "encoding", value: decoded.encoding, source: "table", evidence: "the bytes of the file" },
    {
      option: "delimiter",
      value: found.delimiter === "\t" ? "tab" : found.delimiter,
      source: "table",
      evidence: "it leaves the most numbers and the fewest words",
    },
    {
      option: "decimal mark",
      value: found.decimalMark,
      source: "table",
      evidence: "it leaves the most numbers and the fewest words",
    },
  ]);
}

/** The same for cells that are already apart, as a program sends them. */
export function readRows(
  rows: readonly (readonly (string | number | null)[])[],
  file: string | null,
  options: ReadingOptions,
): Reading {
  const cells = rows.map((row) => row.map((cell) => (cell === null ? "" : String(cell).trim())));
  return readFound({ cells, delimiter: ",", decimalMark: "." }, file, options, []);
}

function refusal(file: string | null, ...problems: Problem[]): Reading {
  return { file, measurements: [], problems, how: [] };
}

function readFound(found: Cells, file: string | null, options: ReadingOptions, how: Guess[]): Reading {
  const notYet = [
    options.values === "density" ? "density values" : null,
    options.unit === "phi" ? "phi sizes" : null,
    options.layout === "long" ? "the long layout" : null,
  ].filter((x) => x !== null);
  if (notYet.length > 0) {
    return refusal(
      file,
      problem(
        "refused",
        `Fineband does not read ${notYet.join(" and ")} yet. Give sizes with class shares or cumulative values in columns or rows.`,
        {
          file,
          found: notYet.join(", "),
          expected: "class, undersize or oversize; columns or rows; um, nm, mm or m",
        },
      ),
    );
  }
  const block = findBlock(found.cells, found.decimalMark, options.layout);
  if (block === null) {
    return refusal(
      file,
      problem(
        "refused",
        "No table was found: no row holds a size and a share. Give sizes in the first column and shares beside them, or sizes across the top.",
        {
          file,
          row: 1,
          column: 1,
          found: (found.cells.find((row) => row.some((c) => c !== ""))?.join(" ") ?? "").slice(0, 80),
          expected: "rows of numbers",
        },
      ),
    );
  }
  how.push({
    option: "layout",
    value: block.layout,
    source: options.layout === undefined ? "table" : "option",
    evidence:
      block.layout === "rows" ? "the heading row holds the sizes" : "the first column holds the sizes",
  });
  const unit = unitOf(block, options, how);
  if (unit === "phi") {
    return refusal(
      file,
      problem(
        "refused",
        "The sizes are in phi, which Fineband does not read yet. Give them in µm, nm or mm.",
        { file, found: block.sizeHeading, expected: "um, nm, mm or m" },
      ),
    );
  }
  const problems: Problem[] = [];
  if (how.some((g) => g.option === "unit" && g.source === "assumed")) {
    problems.push(
      problem("note", "No unit is stated for the sizes: µm is taken. Say another unit if that is wrong.", {
        file,
        expected: "um, nm, mm or m",
        effect: "nm would divide every size by 1,000",
      }),
    );
  }
  const sizes = sizesOf(block.sizes, found.decimalMark, unit);
  if ("severity" in sizes) return { ...refusal(file, { ...sizes, file }), how };
  return readAll(block, sizes, found, file, options, how, problems);
}

function readAll(
  block: Block,
  sizes: Sizes,
  found: Cells,
  file: string | null,
  options: ReadingOptions,
  how: Guess[],
  problems: Problem[],
): Reading {
  const named = nameSeries(withoutMeans(block, found, problems, file), file);
  const wanted = options.only === undefined ? named : named.filter((s) => options.only?.includes(s.name));
  for (const name of options.only ?? []) {
    if (!named.some((s) => s.name === name)) {
      problems.push(
        problem(
          "refused",
          `There is no measurement named ${name}. The table has ${named.map((s) => s.name).join(", ")}.`,
          { file, measurement: name, found: named.map((s) => s.name).join(", "), expected: name },
        ),
      );
    }
  }
  const notes = block.notes.filter(speaksOfShares).join(" ");
  const measurements: NamedMeasurement[] = [];
  for (const { series, name } of wanted) {
    const quantityWord = quantityIn(series.heading) ?? quantityIn(notes) ?? quantityIn(block.sizeHeading);
    const context: SeriesContext = {
      file,
      name,
      sizes,
      sizeCells: block.sizes[0] ?? [],
      mark: found.decimalMark,
      sizeHeading: block.sizeHeading,
      edge:
        options.edge ?? (sizes.listsUm.length === 2 ? "both" : (edgeIn(block.sizeHeading) ?? edgeIn(notes))),
      values: options.values ?? valuesIn(series.heading) ?? valuesIn(notes),
      scale: options.scale ?? scaleIn(series.heading) ?? scaleIn(block.sizeHeading) ?? scaleIn(notes),
      quantity: options.quantity ?? quantityWord,
      options,
    };
    const read = readSeries(series, context);
    problems.push(...read.problems);
    if (read.measurement !== null) measurements.push(read.measurement);
    if (how.some((g) => g.option === "values")) continue;
    how.push(
      ...read.how.map((g) => ({
        ...g,
        source: options[g.option] === undefined ? g.source : ("option" as const),
      })),
    );
  }
  return { file, measurements, problems, how };
}

function unitOf(block: Block, options: ReadingOptions, how: Guess[]): UnitOption {
  const word =
    unitIn(block.sizeHeading) ?? block.notes.map(unitIn).find((u) => u !== null) ?? unitOfCells(block);
  const unit = options.unit ?? word ?? "um";
  how.push({
    option: "unit",
    value: unit,
    source: options.unit !== undefined ? "option" : word !== null ? "table" : "assumed",
    evidence: word !== null ? "a word in the heading or the notes" : "no word says it",
  });
  return unit;
}

function unitOfCells(block: Block): UnitOption | null {
  return block.sizes[0]?.map((cell) => unitIn(cell.text)).find((u) => u !== null) ?? null;
}

/** A column called mean that is the mean of the others is no run of its own. */
function withoutMeans(block: Block, found: Cells, problems: Problem[], file: string | null): Block["series"] {
  const { series } = block;
  const number = (text: string) => Number(text.replace(found.decimalMark, "."));
  return series.filter((one) => {
    const others = series.filter((s) => s !== one && !isMeanName(s.heading));
    if (!isMeanName(one.heading) || others.length < 2) return true;
    const isMean = one.cells.every((cell, i) => {
      const values = others.map((s) => number(s.cells[i]?.text ?? ""));
      const mean = values.reduce((a, b) => a + b, 0) / values.length;
      return Math.abs(number(cell.text) - mean) <= 0.006 * Math.max(1, Math.abs(mean));
    });
    if (isMean) {
      problems.push(
        problem(
          "note",
          `Column "${one.heading}" equals the average of ${others.length} others and was left out of the runs.`,
          { file, measurement: one.heading, column: one.at.column, row: one.at.row },
        ),
      );
    }
    return !isMean;
  });
}
