import { type HowMeasured, withStated } from "../howMeasured.ts";
import type { NamedMeasurement } from "../measured.ts";
import { type Problem, problem } from "../problem.ts";
import type { Block } from "./block.ts";
import { statedIn, statedText } from "./howStated.ts";
import { withoutDerived } from "./leaveOut.ts";
import { apertureUm } from "./meshNumbers.ts";
import type { DecimalMark } from "./numbers.ts";
import { type Outcome, outcomeOf } from "./outcomes.ts";
import type { OpenQuestion } from "./questions.ts";
import type { EdgeOption, ReadingOptions, UnitOption } from "./readingOptions.ts";
import { readSeries } from "./readSeries.ts";
import type { Guess } from "./readTable.ts";
import { type Known, known, overruled, type SeriesContext } from "./seriesContext.ts";
import { sizesOf } from "./sizes.ts";
import { sizeIn } from "./sizeText.ts";
import {
  edgeIn,
  edgeInNotes,
  quantityIn,
  quantityInNotes,
  scaleIn,
  speaksOfShares,
  unitIn,
  valuesIn,
  valuesInNotes,
} from "./words.ts";
import { statementIn } from "./writeTable.ts";

export interface BlockReading {
  readonly measurements: readonly NamedMeasurement[];
  readonly problems: readonly Problem[];
  readonly questions: readonly OpenQuestion[];
  readonly how: readonly Guess[];
  /** One a measurement, in the order of the table. */
  readonly outcomes: readonly Outcome[];
  /** How many measurements the block holds, read or not. */
  readonly total: number;
  /** How they were measured, as far as this table or one before it states it. */
  readonly stated: HowMeasured;
}

interface BlockContext {
  readonly file: string | null;
  readonly mark: DecimalMark;
  readonly options: ReadingOptions;
  /** How often each name was used so far. */
  readonly names: Map<string, number>;
  /** What the table before this one stated of how it was measured. */
  readonly stated: HowMeasured;
  /** Called now and then with the part of the series that are read. */
  readonly onProgress: Progress;
}

/** Told how much of the work is done, 0 … 1, so that whoever waits can see it. */
export type Progress = (share: number) => void;

const seriesAtOnce = 100;
/** Of more, what an answer would do is worked out for the first alone, where the question is asked. */
const mostWeighed = 50;

const umPer: Readonly<Record<UnitOption, number>> = { um: 1, nm: 1e-3, mm: 1e3, m: 1e6, phi: 1, mesh: 1 };

/** The measurements of one table. One that states nothing of how it was measured goes by the table before. */
export function readBlock(block: Block, context: BlockContext): BlockReading {
  const { file, mark, options, names } = context;
  // A table that Fineband wrote says all of it in one line.
  const own = block.notes.map(statementIn).find((s) => s !== null) ?? null;
  const found = statedIn(block.notes, own === null ? mark : ".");
  const stated = found ?? context.stated;
  const how: Guess[] = [
    {
      option: "layout",
      value: block.layout,
      source: options.layout === undefined ? "table" : "option",
      evidence: options.layout === undefined ? layoutWords[block.layout] : "your answer",
    },
  ];
  const unit = unitOf(block, options, mark);
  how.push({ option: "unit", ...unit });
  const problems: Problem[] = block.remarks.map((p) => ({ ...p, file }));
  const stop = (refused: readonly Problem[]): BlockReading => ({
    measurements: [],
    problems: refused,
    questions: [],
    how,
    outcomes: block.series.map((one) =>
      outcomeOf(one.heading || (file ?? "pasted table"), false, refused, []),
    ),
    total: block.series.length,
    stated,
  });
  if (problems.some((p) => p.severity === "refused"))
    return stop(problems.filter((p) => p.severity === "refused"));
  if (unit.source === "assumed") {
    problems.push(
      problem("note", "No unit is stated for the sizes: µm is taken. Say another unit if that is wrong.", {
        file,
        expected: "um, nm, mm, m or phi",
        effect: "nm would divide every size by 1,000",
      }),
    );
  }
  const sizes = sizesOf(block.sizes, mark, unit.value);
  const { series, remarks, edge: shownEdge } = withoutDerived(block, mark, file);
  const named = series.map((one) => ({ series: one, name: nameOf(one.heading, file, names) }));
  if ("severity" in sizes)
    return stop([{ ...sizes, file, measurement: block.layout === "long" ? (named[0]?.name ?? null) : null }]);
  problems.push(...remarks, ...sizes.remarks.map((p) => ({ ...p, file })));
  const notes = block.notes.filter(speaksOfShares);
  const firstIn = <T>(look: (text: string) => T | null): T | null =>
    notes.map(look).find((x) => x !== null) ?? null;
  const edgeWord = unit.value === "phi" ? midOnly(edgeIn(block.sizeHeading)) : edgeIn(block.sizeHeading);
  const edge: SeriesContext["edge"] =
    options.edge !== undefined
      ? { value: options.edge, source: "option", evidence: "your answer" }
      : sizes.listsUm.length === 2
        ? { value: "both", source: "table", evidence: "two columns of sizes" }
        : known(
            undefined,
            [edgeWord, `the word in the heading "${block.sizeHeading}"`],
            [firstIn(edgeInNotes), "a line of the notes"],
            [block.edge?.edge ?? null, block.edge?.why ?? ""],
            [shownEdge?.edge ?? null, shownEdge?.why ?? ""],
          );
  const ownWord = "the line above the table";
  const notesSay = {
    quantity: firstIn(quantityInNotes),
    values: firstIn(valuesInNotes),
    scale: firstIn(scaleIn),
  };
  const measurements: NamedMeasurement[] = [];
  const questions: OpenQuestion[] = [];
  const outcomes: Outcome[] = [];
  const seen = new Set<string>();
  for (const [i, { series: one, name }] of named.entries()) {
    if (i % seriesAtOnce === 0) context.onProgress(i / named.length);
    if (options.only !== undefined && !options.only.includes(name)) continue;
    const word = `the heading "${one.heading}"`;
    const valuesSaid = [
      [own === null ? null : "class", ownWord],
      [valuesIn(one.says), word],
      [notesSay.values, "a line of the notes"],
    ] as const;
    const quantitySaid = [
      [own?.quantity ?? null, ownWord],
      [quantityIn(one.says), word],
      [notesSay.quantity, "a line of the notes"],
      [quantityIn(block.sizeHeading), "the heading of the sizes"],
    ] as const;
    const ofSeries: SeriesContext = {
      file,
      name,
      sizes,
      sizeCells: block.sizes[0] ?? [],
      mark,
      sizeHeading: block.sizeHeading,
      umPerUnit: umPer[unitIn(one.says) ?? unit.value],
      isSieve: block.isSieve === true,
      edge,
      values: known(options.values, ...valuesSaid),
      scale: known(
        options.scale,
        [own === null ? null : "fraction", ownWord],
        [scaleIn(one.says), word],
        [
          scaleIn(block.sizeHeading) === "amount" ? null : scaleIn(block.sizeHeading),
          "the heading of the sizes",
        ],
        [notesSay.scale, "a line of the notes"],
      ),
      quantity: known(options.quantity, ...quantitySaid),
      measuredAs: own !== null && options.quantity === undefined ? own.measuredAs : null,
      options: own === null ? options : { inClass: own.inClass, ...options },
    };
    const read = readSeries(one, ofSeries);
    const said = [
      overruled("values", options.values, ...valuesSaid),
      overruled("quantity", options.quantity, ...quantitySaid),
    ].flatMap((note): Problem[] => (note === null ? [] : [{ ...note, file, measurement: name }]));
    said.push(...read.problems);
    problems.push(...said);
    outcomes.push(
      outcomeOf(name, read.measurement !== null, said, read.questions, named.length <= mostWeighed),
    );
    questions.push(...read.questions);
    if (read.measurement !== null) measurements.push({ ...read.measurement, ...withStated(stated) });
    for (const guess of read.how) {
      if (seen.has(guess.option)) continue;
      seen.add(guess.option);
      how.push(guess);
    }
  }
  problems.push(...mixed(measurements, file));
  if (own === null && measurements.length > 0 && statedText(stated) !== "")
    problems.push(taken(stated, file));
  return { measurements, problems, questions, how, outcomes, total: named.length, stated };
}

function taken(stated: HowMeasured, file: string | null): Problem {
  return problem(
    "note",
    `Taken from the lines around the table, as how it was measured: ${statedText(stated)}. Mend it before it is kept, if that is wrong.`,
    { file, found: statedText(stated) },
  );
}

const layoutWords = {
  columns: "one column holds the sizes",
  rows: "the heading row holds the sizes",
  long: "each row holds a sample, a size and a value",
} as const;

/** Each series goes by its heading, else by the file's stem; a repeat gets a number. */
function nameOf(heading: string, file: string | null, names: Map<string, number>): string {
  const stem = file === null ? "pasted table" : file.replace(/^.*[\\/]/, "").replace(/\.[^.]+$/, "");
  const name = heading === "" ? stem : heading;
  const count = (names.get(name) ?? 0) + 1;
  names.set(name, count);
  return count === 1 ? name : `${name} (${count})`;
}

/** In phi the larger number is the smaller size, so upper and lower can mean either; mids stay mids. */
function midOnly(edge: EdgeOption | null): EdgeOption | null {
  return edge === "upper" || edge === "lower" ? null : edge === "arithmetic-mid" ? "geometric-mid" : edge;
}

function unitOf(block: Block, options: ReadingOptions, mark: DecimalMark): Known<UnitOption> {
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

/** Shares that count different things stand side by side, each by its own name. */
function mixed(measurements: readonly NamedMeasurement[], file: string | null): Problem[] {
  const first = measurements[0]?.distribution.quantity;
  const other = measurements.find((m) => m.distribution.quantity !== first);
  if (first === undefined || other === undefined) return [];
  return [
    problem(
      "note",
      `"${measurements[0]?.name}" counts ${first}, "${other.name}" ${other.distribution.quantity}: each was kept in its own; do not take them for runs of one.`,
      { file },
    ),
  ];
}
