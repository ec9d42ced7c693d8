import { type Given, textOption, wordOption } from "#api/contract/options.ts";
import { UnusableInput } from "#api/faults.ts";
import type { Answered } from "#api/queries/powder.ts";
import type { Problem } from "#distributions/problem.ts";
import { onWire } from "#model/words/wireWords.ts";
import { type RowsOf, type RowValues, readFiles, rowsFlag, type World } from "./command.ts";
import { withWorkbooks } from "./workbooks.ts";

const rowsWords = ["ndjson", "csv"] as const;

/** How long nothing is said of how far it is. */
const silentMs = 2000;

/** So many lines of one table are done before Ctrl+C is heard again. */
const linesBetween = 100;
const maxGathered = 1 << 16;

interface Progress {
  readonly done: number;
  readonly files: number;
  readonly begunMs: number;
}

/**
 * Answers one file after another and prints a line as each is done, so that neither what was read nor what was answered is
 * kept. Problems and how far it is go to standard error; one who stops it has what was done till then.
 *
 * @returns 2 where a file was not usable or not done, 1 where an answer is no, else 0
 */
export async function printRows(
  rowsOf: RowsOf,
  paths: readonly string[],
  given: Given,
  world: World & { readonly tell: (problems: readonly Problem[]) => void },
): Promise<0 | 1 | 2> {
  const form = wordOption(given, rowsFlag, rowsWords);
  if (paths.length === 0)
    throw new UnusableInput(
      "Give tables to read, folders of them, or - for standard input.",
      "no file",
      "FILE",
    );
  const out = gathered(world.print);
  const { print, headed } =
    form === "csv" ? csvPrinter({ ...world, print: out.print }) : jsonPrinter(out.print);
  const entered = new Set<string>();
  let isWhole = true;
  let isNo = false;
  let spokenMs = Date.now();
  const begunMs = spokenMs;
  for (const [done, path] of paths.entries()) {
    if (await world.isStopped()) {
      world.complain(`Stopped: ${done} of ${paths.length} files are done.\n`);
      return 2;
    }
    if (paths.length > 1 && Date.now() - spokenMs >= silentMs) {
      spokenMs = Date.now();
      world.complain(`${progressText({ done, files: paths.length, begunMs }, spokenMs)}\n`);
    }
    const asked = readFiles([path], given, await withWorkbooks([path], world));
    const tell = (problems: readonly Problem[]) => {
      // A note about every file alike is said of the first.
      const fresh = problems.filter((p) => p.severity !== "note" || !entered.has(p.message));
      for (const p of fresh) entered.add(p.message);
      if (problems.some((p) => p.severity !== "note")) isWhole = false;
      world.tell(fresh);
    };
    tell(asked.problems);
    let lines = 0;
    for (const { row, problems, isNo: isRefused = false } of rowsOf(asked, given, world)) {
      tell(problems);
      isNo ||= isRefused;
      if (row !== null) print(row);
      lines++;
      if (lines % linesBetween !== 0) continue;
      headed();
      if (await world.isStopped()) {
        out.flush();
        world.complain(`Stopped: ${lines} lines of ${path} and ${done} of ${paths.length} files are done.\n`);
        return 2;
      }
    }
    headed();
    out.flush();
  }
  if (!isWhole) return 2;
  return isNo ? 1 : 0;
}

/** Lines of one table are printed together, as many as fill a pipe: each write alone would cost more than the line. */
function gathered(print: World["print"]): { readonly print: World["print"]; readonly flush: () => void } {
  let text = "";
  const flush = () => {
    if (text !== "") print(text);
    text = "";
  };
  return {
    print: (line) => {
      text += line;
      if (text.length >= maxGathered) flush();
    },
    flush,
  };
}

/** How far it is, how fast, and how long it still takes at that rate. */
function progressText({ done, files, begunMs }: Progress, nowMs: number): string {
  const seconds = (nowMs - begunMs) / 1000;
  const rate = done / seconds;
  return `${done} of ${files} files done, ${rate.toFixed(1)} a second, about ${Math.ceil((files - done) / rate)} s left.`;
}

interface RowPrinter {
  readonly print: (row: RowValues) => void;
  /** No row that may give the heading another name comes before this is called. */
  readonly headed: () => void;
}

function jsonPrinter(print: World["print"]): RowPrinter {
  return { print: (row) => print(`${onWire(JSON.stringify(row))}\n`), headed: () => undefined };
}

/** Lines of a table; "percentilesUm.50" stands in a group. Its heading has every name of the first lines, which wait for it. */
function csvPrinter(world: World): RowPrinter {
  let heading: readonly string[] | null = null;
  let waiting: ReadonlyMap<string, string>[] = [];
  let isTold = false;
  const line = (cells: ReadonlyMap<string, string>, known: readonly string[]) => {
    if (!isTold && [...cells.keys()].some((name) => !known.includes(name))) {
      isTold = true;
      world.complain(
        "note: Some lines have values that the first have not, which the table leaves out: --rows ndjson has them all.\n",
      );
    }
    world.print(`${known.map((name) => quoted(cells.get(name) ?? "")).join(",")}\n`);
  };
  return {
    print(row) {
      const cells = new Map(flat(row, ""));
      if (heading === null) waiting.push(cells);
      else line(cells, heading);
    },
    headed() {
      if (heading !== null || waiting.length === 0) return;
      const known = [...new Set(waiting.flatMap((cells) => [...cells.keys()]))];
      heading = known;
      world.print(`${known.map(quoted).join(",")}\n`);
      for (const cells of waiting) line(cells, known);
      waiting = [];
    },
  };
}

function flat(value: unknown, name: string): [string, string][] {
  if (value === null || value === undefined) return [[name, ""]];
  if (typeof value !== "object") return [[name, String(value)]];
  return Object.entries(value).flatMap(([key, inner]) => flat(inner, name === "" ? key : `${name}.${key}`));
}

function quoted(text: string): string {
  return /[",\n\r]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text;
}

/** An answer about a whole file as one line: what is no list, and no list inside a group. */
export function lineOf({ measurements }: Answered, body: object): RowValues {
  return { file: measurements[0]?.file ?? null, ...withoutLists(body) };
}

/** Rows are of files alone. */
export function alone(flag: string): UnusableInput {
  return new UnusableInput(
    `--rows answers file by file; leave out ${flag}.`,
    `--rows and ${flag}`,
    "one of the two",
  );
}

function withoutLists(group: object): Record<string, unknown> {
  const kept = Object.entries(group).flatMap(([key, value]): [string, unknown][] => {
    if (Array.isArray(value)) return [];
    const isGroup = typeof value === "object" && value !== null;
    return [[key, isGroup ? withoutLists(value) : value]];
  });
  return Object.fromEntries(kept);
}

/** Whether rows are asked for. */
export function asksRows(given: Given): boolean {
  return textOption(given, rowsFlag) !== undefined;
}
