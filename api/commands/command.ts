import type { Accounts } from "#api/access/accounts.ts";
import { type Given, isOn, readingOptionsOf, readingSwitches } from "#api/contract/options.ts";
import { UnusableInput } from "#api/faults.ts";
import type { Answered } from "#api/queries/powder.ts";
import { withOutcomes } from "#api/queries/withOutcomes.ts";
import type { Problem } from "#distributions/problem.ts";
import { problem } from "#distributions/problem.ts";
import { candidateReadings } from "#distributions/tables/candidateReadings.ts";
import { readOrOffer } from "#distributions/tables/nearestReadings.ts";
import type { WhichLab } from "../openSaved.ts";
import type { Places } from "../places.ts";
import type { Store } from "../store/store.ts";

/** What a command may touch of the world; handed in, so that tests need no process. */
export interface World {
  /** Opens what the lab keeps; only verbs that need it do. */
  readonly openStore: (which?: WhichLab) => Promise<Store>;
  /** The accounts of the server over what the lab keeps. */
  readonly openAccounts: () => Accounts | Promise<Accounts>;
  /** Where the program stands, and what it is told by its surroundings. */
  readonly places: Places;
  readonly environment: Readonly<Record<string, string | undefined>>;
  /** Starts the server with what is said over the environment; it goes on until it is stopped. */
  readonly serve: (said: Readonly<Record<string, string>>) => Promise<void>;
  readonly now: () => Date;
  readonly writeFile: (path: string, content: string | Uint8Array) => void;
  /** Writes a text as its pieces come, whole or not at all. @returns how many lines it has */
  readonly writePieces: (path: string, pieces: AsyncIterable<string>) => Promise<number>;
  /** The texts of a folder's files by their names; null when it is no folder. */
  readonly readFolder: (path: string) => ReadonlyMap<string, string> | null;
  readonly writeFolder: (path: string, files: ReadonlyMap<string, string | Uint8Array>) => void;
  readonly readFile: (path: string) => Uint8Array;
  /** Paths of the tables in a folder, or that a pattern (`*`, `?`) names, in order; null when it is neither. */
  readonly filesIn: (path: string) => readonly string[] | null;
  /** Whether the person stopped it (Ctrl+C); asked between two files, which lets that be heard. */
  readonly isStopped: () => Promise<boolean>;
  readonly readStandardInput: () => Uint8Array;
  readonly print: (text: string) => void;
  readonly complain: (text: string) => void;
  readonly version: string;
}

/** A command's answer: the body for scripts, sentences for people, and whether the answer is no. */
export interface CommandOutcome {
  readonly body: { readonly problems: readonly Problem[] };
  readonly sentences: readonly string[];
  readonly isNo: boolean;
}

/** One line: names and values, some of them in groups. */
export type RowValues = Readonly<Record<string, unknown>>;

/** A line of a verb's answer, null where there is only something to be said, and whether the answer is no. */
export interface RowAnswer {
  readonly row: RowValues | null;
  readonly problems: readonly Problem[];
  readonly isNo?: boolean;
}

/** What a verb says of one file. */
export type RowsOf = (asked: Answered, given: Given, world: World) => Iterable<RowAnswer>;

export interface Command {
  readonly summary: string;
  /** The arguments as help shows them. */
  readonly usage: string;
  readonly flags: readonly string[];
  /** Options without a value. */
  readonly switches?: readonly string[];
  /** How it answers file by file, for verbs that have --rows. */
  readonly rows?: RowsOf;
  readonly run: (
    files: readonly string[],
    given: Given,
    world: World,
  ) => CommandOutcome | Promise<CommandOutcome>;
}

/** The option that answers file by file; verbs that can have it. */
export const rowsFlag = "rows";

/** Options with a value. */
export function valuedOf({ flags, rows }: Command): readonly string[] {
  return rows === undefined ? flags : [...flags, rowsFlag];
}

export function readsTables({ flags }: Command): boolean {
  return flags.includes("edge");
}

/** Options without one: a verb that reads tables can say how it read them, and leave nothing assumed. */
export function switchesOf(command: Command): readonly string[] {
  return [...(command.switches ?? []), ...(readsTables(command) ? readingSwitches : [])];
}

/** Each file by itself where folders and patterns are named. @throws UnusableInput  one holds no table */
export function eachFile(paths: readonly string[], world: World): readonly string[] {
  return paths.flatMap((path) => {
    const inside = path === "-" ? null : world.filesIn(path);
    if (inside?.length === 0)
      throw new UnusableInput(
        `There is no table at ${path}. Tables end in .csv, .tsv, .txt, .json or .xlsx; give one, a folder of them, or a pattern such as runs/*.csv.`,
        path,
        "a table, or a folder of tables",
      );
    return inside ?? [path];
  });
}

/** Bytes of a file, or of standard input for "-". @throws UnusableInput */
export function bytesOf(path: string, world: World): Uint8Array {
  if (path === "-") return world.readStandardInput();
  try {
    return world.readFile(path);
  } catch (fault) {
    if (fault instanceof UnusableInput) throw fault;
    const isMissing = fault instanceof Error && "code" in fault && fault.code === "ENOENT";
    throw new UnusableInput(
      `${path}: ${isMissing ? "there is no such file" : "the file cannot be read"}. Give a path relative to the current folder.`,
      path,
      "a file that can be read",
    );
  }
}

export function textOf(path: string, world: World): string {
  return new TextDecoder().decode(bytesOf(path, world));
}

/** Reads each file; a bad one becomes a problem and never costs the others. */
export function readFiles(files: readonly string[], given: Given, world: World): Answered {
  const options = readingOptionsOf(given);
  if (files.length === 0)
    throw new UnusableInput("Give a table to read, or - for standard input.", "no file", "FILE");
  if (files.filter((f) => f === "-").length > 1)
    throw new UnusableInput("Standard input can be read only once.", "- twice", "- once");
  const readings = files.map((path) => {
    try {
      const bytes = bytesOf(path, world);
      const reading = readOrOffer(bytes, path === "-" ? null : path, options);
      return withOutcomes(reading, isOn(given, "explain") ? candidateReadings(reading, bytes, options) : []);
    } catch (fault) {
      if (!(fault instanceof UnusableInput)) throw fault;
      return {
        measurements: [],
        outcomes: [],
        tables: [],
        candidates: [],
        problems: [
          problem("refused", fault.message, { file: path, found: fault.found, expected: fault.expected }),
        ],
      };
    }
  });
  return {
    measurements: readings.flatMap((r) => r.measurements),
    problems: readings.flatMap((r) => r.problems),
    outcomes: readings.flatMap((r) => r.outcomes),
    tables: readings.flatMap((r) => r.tables),
    candidates: readings.flatMap((r) => r.candidates),
  };
}
