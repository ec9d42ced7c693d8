import { type Given, readingFlags, textOption } from "#api/contract/options.ts";
import { flagsOf } from "#api/contract/verbs.ts";
import { UnusableInput } from "#api/faults.ts";
import { askGroundedCheck } from "#api/queries/groundedCheck.ts";
import { askCheck, uncheckedFor } from "#api/queries/powder.ts";
import { askedGround, savedCheck } from "#api/store/savedCheck.ts";
import type { Band } from "#model/band/band.ts";
import { readBand } from "#model/band/bandFile.ts";
import { limitWords, statisticText } from "#model/band/limits.ts";
import type { Stage } from "#model/lot/stages.ts";
import { readChecks } from "#model/release/readChecks.ts";
import { figures } from "#model/words/wording.ts";
import type { Store } from "../store/store.ts";
import { type Command, type CommandOutcome, readFiles, textOf, type World } from "./command.ts";
import { labSwitch, withStore } from "./keeping.ts";
import { lotNamed, materialCalled, stageCalled } from "./named.ts";
import { alone, lineOf } from "./rows.ts";

export const check: Command = {
  summary: "the verdict on a lot against a target band; all measurements are runs of the lot",
  usage:
    "FILE… --band BAND.json [--material NAME] [--kept LOT.csv,LOT.csv,…] | --lot NAME [--band BAND.json] [--stage STAGE] [--rule simple|two-sided|guarded] [--sampling-cv PERCENT] [--checks CHECKS.csv] [--optical-cv PERCENT] [--density-cv PERCENT] [--demo] [--rows ndjson|csv]",
  flags: [...readingFlags, ...flagsOf("check"), "lot", "material"],
  switches: [labSwitch],
  *rows(asked, given, world) {
    for (const flag of ["lot", "material", "kept", "checks"])
      if (textOption(given, flag) !== undefined) throw alone(`--${flag}`);
    const { band, problems } = readBand(textOf(bandPath(given), world), bandPath(given));
    if (band === null || asked.measurements.length === 0) return yield { row: null, problems };
    const { problems: said, ...body } = askCheck({ ...asked, problems }, band, given);
    const values = Object.fromEntries(body.rows.map((row) => [limitWords(row).name, row.value]));
    const isNo = body.verdict !== "in band" || body.gap !== null;
    yield { row: { ...lineOf(asked, body), values }, problems: said, isNo };
  },
  run(files, given, world) {
    const lot = textOption(given, "lot");
    const material = textOption(given, "material");
    if (lot !== undefined) {
      if (files.length > 0 || material !== undefined)
        throw new UnusableInput(
          "--lot checks a saved lot of its own material; leave out the files and --material.",
          [...files, material ?? ""].join(", "),
          "--lot NAME",
        );
      return withStore({ world, given }, (store) => namedCheck(store, lot, given, world));
    }
    const path = bandPath(given);
    const asked = readFiles(files, given, world);
    const { band, problems } = readBand(textOf(path, world), path);
    const all = { ...asked, problems: [...asked.problems, ...problems] };
    if (band === null) {
      const body = uncheckedFor(all);
      return { body, sentences: [body.sentence], isNo: false };
    }
    const kept = (textOption(given, "kept")?.split(",") ?? []).map((file) =>
      readFiles([file.trim()], given, world),
    );
    const read = givenChecks(given, world);
    const entered = [...all.problems, ...kept.flatMap((lot) => lot.problems), ...read.problems];
    const beside = { kept: kept.map((lot) => lot.measurements), checks: read.checks };
    if (material === undefined)
      return outcomeOf(askCheck({ ...all, problems: entered }, band, given, beside));
    return withStore({ world, given }, async (store) => {
      const named = await materialCalled(store, material);
      const word = textOption(given, "stage");
      const stage = stageCalled(named, word ?? (band.stage === "" ? "re-fired" : band.stage));
      const ground = askedGround(await store.groundOfMaterial(named.name, stage), read.checks);
      return outcomeOf(
        askGroundedCheck({ ...all, problems: entered }, band, withStage(given, word, stage), ground),
      );
    });
  },
};

/** @throws UnusableInput  no band is named */
function bandPath(given: Given): string {
  const path = textOption(given, "band");
  if (path === undefined)
    throw new UnusableInput("check needs a band: --band BAND.json.", "no band", "--band BAND.json");
  return path;
}

/** The verdict on a saved lot by its name. */
async function namedCheck(store: Store, name: string, given: Given, world: World): Promise<CommandOutcome> {
  const { id, material: called } = await lotNamed(store, name);
  const word = textOption(given, "stage");
  const material = called === "" ? null : await materialCalled(store, called);
  const read = givenChecks(given, world);
  const answer = await savedCheck(store, id, {
    stage: word === undefined ? null : stageCalled(material, word),
    band: givenBand(given, world),
    checks: textOption(given, "checks") === undefined ? null : read.checks,
    given: withoutNames(given),
    problems: read.problems,
  });
  if (answer === null) throw new UnusableInput(`${name} was deleted meanwhile.`, name, "a saved lot");
  return outcomeOf(answer);
}

function givenChecks(given: Given, world: World): ReturnType<typeof readChecks> {
  const path = textOption(given, "checks");
  return path === undefined ? { checks: [], problems: [] } : readChecks(textOf(path, world), path);
}

function givenBand(given: Given, world: World): Band | null {
  const path = textOption(given, "band");
  if (path === undefined) return null;
  const { band, problems } = readBand(textOf(path, world), path);
  if (band === null) throw new UnusableInput(problems.map((p) => p.message).join(" "), path, "BAND.json");
  return band;
}

/** What was asked, with the stage by the word that the question knows. */
function withStage(given: Given, word: string | undefined, stage: Stage): Given {
  return word === undefined ? withoutNames(given) : { ...withoutNames(given), stage };
}

/** What the question itself knows: neither the lot nor the material by its name. */
function withoutNames({ lot: _, material: __, ...rest }: Given): Given {
  return rest;
}

type Checked = ReturnType<typeof askCheck> & Partial<ReturnType<typeof askGroundedCheck>>;

function outcomeOf<C extends Checked>(body: C) {
  const lines = body.rows.map((row) => {
    const { name, unit, factor } = limitWords(row);
    const show = (v: number | null) => (v === null ? "–" : figures(v * factor));
    const where = body.gap === null ? row.verdict : `${row.verdict} as measured`;
    return `  ${`${name} ${show(row.value)} ${unit}`.trim()}, limits ${statisticText(row, show)}: ${where}`;
  });
  const shift = body.sizeShiftNeeded === null ? [] : [body.sizeShiftNeeded.sentence];
  const release = body.release === null ? [] : [body.release.sentence, ...body.release.notes];
  const budget = body.budget === null ? [] : [body.budget.sentence];
  const ground = body.ground === undefined ? [] : [`Rests on ${body.ground}, beside its own runs.`];
  return {
    body,
    sentences: [body.sentence, ...lines, ...release, ...shift, ...budget, ...ground],
    isNo: body.verdict !== "in band" || body.gap !== null,
  };
}
