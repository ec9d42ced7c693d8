import { type Given, readingFlags, textOption } from "#api/contract/options.ts";
import { flagsOf } from "#api/contract/verbs.ts";
import { UnusableInput } from "#api/faults.ts";
import { type Answered, askSurface } from "#api/queries/powder.ts";
import { readPairs } from "#model/surface/readPairs.ts";
import { counted } from "#model/words/wording.ts";
import type { Store } from "../store/store.ts";
import { type Command, type CommandOutcome, readFiles, textOf } from "./command.ts";
import { labSwitch, withStore } from "./keeping.ts";
import { materialCalled, stageCalled } from "./named.ts";
import { alone, lineOf } from "./rows.ts";

export const surface: Command = {
  summary: "geometric area, the sizes that carry it, and the predicted BET area",
  usage:
    "FILE… --density G_PER_CM3 [--material NAME] [--pairs PAIRS.csv --stage STAGE] [--level 0.95] [--bet-low M2_PER_G] [--bet-high M2_PER_G] [--bet-found M2_PER_G] [--instrument TEXT] [--optics TEXT] [--dopant-class TEXT] [--demo] [--rows ndjson|csv]",
  flags: [...readingFlags, ...flagsOf("surface"), "material"],
  switches: [labSwitch],
  *rows(asked, given, world) {
    if (textOption(given, "material") !== undefined) throw alone("--material");
    if (asked.measurements.length === 0) return;
    const path = textOption(given, "pairs");
    const read = path === undefined ? null : readPairs(textOf(path, world), path);
    const { problems, ...body } = askSurface(
      { ...asked, problems: read?.problems ?? [] },
      read?.pairs,
      given,
    );
    yield { row: lineOf(asked, body), problems };
  },
  run(files, given, world) {
    const path = textOption(given, "pairs");
    const asked = readFiles(files, given, world);
    const name = textOption(given, "material");
    if (name !== undefined) return withStore({ world, given }, (store) => ofMaterial(store, asked, given));
    const read = path === undefined ? null : readPairs(textOf(path, world), path);
    const body = askSurface(
      { ...asked, problems: [...asked.problems, ...(read?.problems ?? [])] },
      read?.pairs,
      given,
    );
    return { body, sentences: [body.sentence], isNo: false };
  },
};

/** Area and predicted BET area of powder of a saved material: its pairs teach it, and its density holds where none is told. */
async function ofMaterial(store: Store, asked: Answered, given: Given): Promise<CommandOutcome> {
  const { material: name = "", pairs, ...rest } = given;
  if (pairs !== undefined)
    throw new UnusableInput(
      "--material takes the saved pairs of the material; leave out --pairs.",
      "both",
      "one of --material and --pairs",
    );
  const material = await materialCalled(store, String(name));
  const stage = stageCalled(material, textOption(given, "stage") ?? "re-fired");
  const { pairs: kept, ground } = await store.calibration({ material: material.name, stage });
  const entered = { density: String(material.densityGPerCm3), ...rest, stage };
  const answer = askSurface(asked, kept, entered);
  const counts = `${counted(kept.length, "BET pair")} of ${material.name}, ${stage}`;
  const body = { ...answer, ground: `${counts}, from ${ground.sentence} and those typed` };
  return { body, sentences: [answer.sentence, `Rests on ${counts}.`], isNo: false };
}
