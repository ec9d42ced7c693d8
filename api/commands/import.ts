import {
  isOn,
  numberOption,
  readingFlags,
  readingOptionsOf,
  textOption,
  wordOption,
} from "#api/contract/options.ts";
import { UnusableInput } from "#api/faults.ts";
import { type FileRead, filedTable, isFiled, readReceived, runsToPlace } from "#api/intake/filing.ts";
import { withoutUndefined } from "#api/records/withoutUndefined.ts";
import type { FiledTable, PlacedRun } from "#api/store/entries/intake.ts";
import { type Problem, problem } from "#distributions/problem.ts";
import { newLotKey, newLots, type RunSaid } from "#model/intake/intake.ts";
import { type NamePattern, patternExpression } from "#model/intake/namePattern.ts";
import { stages } from "#model/lot/stages.ts";
import { counted } from "#model/words/wording.ts";
import type { Store } from "../store/store.ts";
import { bytesOf, type Command, type CommandOutcome, type World } from "./command.ts";
import { byCommand, labSwitch, withStore } from "./keeping.ts";

const own = ["lot", "material", "stage", "portion", "pattern", "words"] as const;

export const importFiles: Command = {
  summary:
    "save the measurements of many files where their names say (lot, stage, portion), as one change; --look only shows where",
  usage:
    '[--look] [--lot NAME] [--material NAME] [--stage STAGE] [--portion NAME] [--pattern "{lot}_{stage}_{run}"] [--words "M=milled,C=crushed"] [--density G] FILE… [--demo]',
  flags: [...own, ...readingFlags],
  switches: ["look", "doubles", labSwitch],
  run(paths, given, world) {
    if (paths.length === 0)
      throw new UnusableInput("Give files, or a folder of files.", "no file", "FILE or FOLDER");
    const pattern = patternOf(textOption(given, "pattern"), textOption(given, "words"));
    const said: RunSaid = withoutUndefined({
      lot: textOption(given, "lot"),
      material: textOption(given, "material"),
      stage: wordOption(given, "stage", stages),
      portion: textOption(given, "portion"),
    });
    const options = readingOptionsOf(given);
    const densityGPerCm3 = numberOption(given, "density");
    return withStore({ world, given }, async (store) => {
      const reads = await readAll(paths, options, world);
      const runs = reads.flatMap(runsToPlace).map((run) => ({ ...run, said }));
      const places = await store.places(runs, pattern);
      return saved({
        store,
        reads,
        places,
        isLook: isOn(given, "look"),
        isDoubleToo: isOn(given, "doubles"),
        densityGPerCm3,
      });
    });
  },
};

function patternOf(text: string | undefined, words: string | undefined): NamePattern | null {
  if (text === undefined) return null;
  patternExpression(text);
  const pairs = (words ?? "").split(",").map((pair) => pair.split("=").map((part) => part.trim()));
  return {
    text,
    words: Object.fromEntries(
      pairs.flatMap(([word = "", of = ""]) => (word === "" || of === "" ? [] : [[word, of]])),
    ),
  };
}

async function readAll(
  paths: readonly string[],
  options: FileRead["options"],
  world: World,
): Promise<FileRead[]> {
  const reads: FileRead[] = [];
  for (const path of paths) {
    const file = path.replace(/^.*[\\/]/, "");
    reads.push(await readReceived({ file, bytes: bytesOf(path, world), options }));
  }
  return reads;
}

/** Saves what can be placed, all as one change; where anything is open, nothing is saved and it is said. */
async function saved(of: {
  readonly store: Store;
  readonly reads: readonly FileRead[];
  readonly places: readonly PlacedRun[];
  readonly isLook: boolean;
  readonly isDoubleToo: boolean;
  readonly densityGPerCm3: number | undefined;
}): Promise<CommandOutcome> {
  const { store, reads, places, isLook, isDoubleToo, densityGPerCm3 } = of;
  let at = 0;
  const placed = reads.map((read) => ({
    read,
    runs: read.measurements.flatMap(({ name }) => {
      const place = places[at++];
      return place === undefined ? [] : [{ name, place }];
    }),
  }));
  const wanted = placed.map(({ read, runs }) => ({
    read,
    runs: runs.filter(({ place }) => isDoubleToo || place.double === null),
  }));
  const lots = newLots(wanted.flatMap(({ runs }) => runs.map(({ place }) => place)));
  const newPlaces = new Map(lots.map((lot, i) => [newLotKey(lot), i]));
  const problems: Problem[] = reads.flatMap((read) =>
    read.problems.map((one) => ({ ...one, file: one.file ?? read.file })),
  );
  const tables: FiledTable[] = [];
  for (const { read, runs } of wanted) {
    const toFile = runs.flatMap(({ name, place: { lotId, lot, material, stage, portion, question } }) => {
      if (question !== null || stage === null || lot === null || material === null) {
        problems.push(
          problem("question", `${question ?? ""} Say it with --lot, --material or --stage.`, {
            file: read.file,
            measurement: name,
          }),
        );
        return [];
      }
      const newLot = newPlaces.get(newLotKey({ name: lot, material })) ?? -1;
      return [{ name, lot: lotId === null ? { newLot } : { id: lotId }, stage, portion }];
    });
    const filed = toFile.length === 0 ? null : filedTable(read, toFile);
    if (filed === null) continue;
    if (isFiled(filed)) tables.push(filed);
    else problems.push(...filed);
  }
  const isOpen = problems.some(({ severity }) => severity === "question");
  const made = lots.map((lot) => ({ ...lot, bandId: null, note: "", densityGPerCm3 }));
  const count = tables.reduce((sum, { runs }) => sum + runs.length, 0);
  const isSaved = !isLook && !isOpen && count > 0;
  if (isSaved) await store.keepIntake({ lots: made, tables }, byCommand);
  const body = {
    kept: isSaved ? count : 0,
    places: placed.flatMap(({ read: { file }, runs }) =>
      runs.map(({ name, place }) => ({ file, name, ...place })),
    ),
    problems,
  };
  return { body, sentences: sentencesOf(placed, { count, isSaved, isLook, isOpen }), isNo: false };
}

function sentencesOf(
  placed: readonly {
    readonly read: FileRead;
    readonly runs: readonly { readonly name: string; readonly place: PlacedRun }[];
  }[],
  {
    count,
    isSaved,
    isLook,
    isOpen,
  }: {
    readonly count: number;
    readonly isSaved: boolean;
    readonly isLook: boolean;
    readonly isOpen: boolean;
  },
): string[] {
  const lines = placed.flatMap(({ read: { file }, runs }) =>
    runs.map(({ name, place: { lot, lotId, material, stage, portion, double, question } }) => {
      const where = [
        lot,
        lotId === null && lot !== null ? "new" : null,
        material,
        stage,
        portion === null ? null : `portion ${portion}`,
      ];
      const to = question ?? where.filter((part) => part !== null).join(", ");
      const again =
        double === null
          ? ""
          : ` (${double.as} as ${double.name} of ${double.lot}; left out unless --doubles)`;
      return `${file ?? "standard input"}, ${name}: ${to}${again}`;
    }),
  );
  const end = isSaved
    ? `Saved ${counted(count, "measurement")} as one change.`
    : isLook
      ? `Nothing was saved: --look only shows where ${counted(count, "measurement")} would go.`
      : isOpen
        ? "Nothing was saved: something is open."
        : "Nothing was saved: there is nothing new.";
  return [...lines, end];
}
