import { type Given, textOption } from "#api/contract/options.ts";
import { flagsOf } from "#api/contract/verbs.ts";
import { UnusableInput } from "#api/faults.ts";
import { askWheel, unansweredWheel, type WheelAsked } from "#api/queries/mill.ts";
import { readPriors } from "#api/queries/priors.ts";
import { readTable } from "#distributions/tables/readTable.ts";
import { readBand } from "#model/band/bandFile.ts";
import { cautionsFor } from "#model/mill/cautions.ts";
import { readMill } from "#model/mill/mill.ts";
import { readRefiring } from "#model/mill/prediction/readRefiring.ts";
import { readTrials } from "#model/mill/trials/readTrials.ts";
import { bytesOf, type Command, type CommandOutcome, textOf } from "./command.ts";
import { labSwitch, withStore } from "./keeping.ts";
import { millWithMaterial } from "./savedMill.ts";

export const wheel: Command = {
  summary: "the cut of the classifier wheel, the expected D50, and the speed for a target D50",
  usage:
    "--mill MILL.json [--material NAME] [--trials TRIALS.csv] [--curves CURVE.csv,CURVE.csv] [--priors PRIORS.json] [--speed RPM] [--flow M3_PER_H] [--feed KG_PER_H] [--target-d50 UM] [--band BAND.json] [--refire REFIRE.csv] [--level 0.9] [--fines-below UM] [--price-gas PER_M3] [--price-energy PER_KWH] [--price-feed PER_KG] [--price-hour PER_H] [--currency TEXT] [--demo]",
  flags: [...flagsOf("wheel"), "material"],
  switches: [labSwitch],
  run(files, given, world) {
    if (files.length > 0)
      throw new UnusableInput(
        `wheel takes no table; found ${files.join(", ")}. Give the trials with --trials.`,
        files.join(", "),
        "options only",
      );
    const millPath = textOption(given, "mill");
    if (millPath === undefined)
      throw new UnusableInput("wheel needs a mill: --mill MILL.json.", "no mill", "--mill MILL.json");
    const paths = ["trials", "band", "refire", "priors"].map((name) => textOption(given, name));
    const curvePaths = (textOption(given, "curves") ?? "").split(",").filter((path) => path !== "");
    if ([millPath, ...paths, ...curvePaths].filter((path) => path === "-").length > 1)
      throw new UnusableInput("Standard input can be read only once.", "- twice", "- once");
    const [trialsPath, bandPath, refirePath, priorsPath] = paths;
    const { mill, problems } = readMill(textOf(millPath, world), millPath);
    const trials =
      trialsPath === undefined
        ? { trials: [], problems: [] }
        : readTrials(textOf(trialsPath, world), trialsPath);
    const band =
      bandPath === undefined
        ? { band: undefined, problems: [] }
        : readBand(textOf(bandPath, world), bandPath);
    const refire =
      refirePath === undefined
        ? { pairs: [], problems: [] }
        : readRefiring(textOf(refirePath, world), refirePath);
    const curves = curvePaths.map((path) => readTable(bytesOf(path, world), path, {}));
    const priors = priorsPath === undefined ? undefined : readPriors(textOf(priorsPath, world));
    const all = [
      ...problems,
      ...curves.flatMap((c) => c.problems),
      ...trials.problems,
      ...band.problems,
      ...refire.problems,
    ];
    if (mill === null) {
      const body = unansweredWheel(all);
      return { body, sentences: [body.sentence], isNo: false };
    }
    const asked = {
      mill,
      trials: trials.trials,
      band: band.band ?? undefined,
      refire: refire.pairs,
      curves: curves.flatMap((c) => c.measurements),
      ...(priors === undefined ? {} : { priors }),
      problems: all,
    };
    const material = textOption(given, "material");
    if (material === undefined) return outcomeOf(asked, given);
    return withStore({ world, given }, async (store) => {
      const kept = await millWithMaterial(store, millPath, material);
      const areTrialsGiven = trialsPath !== undefined || curvePaths.length > 0;
      const { mill: known, priors: noted, ...tried } = kept;
      const believed = priors === undefined && noted !== undefined ? { priors: noted } : {};
      return outcomeOf({ ...asked, mill: known, ...(areTrialsGiven ? {} : tried), ...believed }, given);
    });
  },
};

function outcomeOf(asked: WheelAsked, given: Given): CommandOutcome {
  const body = askWheel(asked, given);
  return {
    body,
    sentences: [
      body.sentence,
      ...(body.cost === null ? [] : [body.cost.sentence]),
      ...body.warnings,
      ...cautionsFor(asked.mill).slice(0, 1),
    ],
    isNo: body.refused.length > 0,
  };
}
