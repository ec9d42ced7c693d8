import { readingFlags, textOption } from "#api/contract/options.ts";
import { flagsOf } from "#api/contract/verbs.ts";
import { UnusableInput } from "#api/faults.ts";
import { askCheck, uncheckedFor } from "#api/queries/powder.ts";
import { readBand } from "#model/band/bandFile.ts";
import { limitWords, statisticText } from "#model/band/limits.ts";
import { readChecks } from "#model/release/readChecks.ts";
import { figures } from "#model/words/wording.ts";
import { type Command, readFiles, textOf } from "./command.ts";

export const check: Command = {
  summary: "the verdict on a lot against a target band; all measurements are runs of the lot",
  usage:
    "FILE… --band BAND.json [--stage STAGE] [--rule simple|two-sided|guarded] [--kept LOT.csv,LOT.csv,…] [--sampling-cv PERCENT] [--checks CHECKS.csv] [--optical-cv PERCENT] [--density-cv PERCENT]",
  flags: [...readingFlags, ...flagsOf("check")],
  run(files, given, world) {
    const path = textOption(given, "band");
    if (path === undefined)
      throw new UnusableInput("check needs a band: --band BAND.json.", "no band", "--band BAND.json");
    const asked = readFiles(files, given, world);
    const { band, problems } = readBand(textOf(path, world), path);
    if (band === null) {
      const body = uncheckedFor({ ...asked, problems: [...asked.problems, ...problems] });
      return { body, sentences: [body.sentence], isNo: false };
    }
    const kept = (textOption(given, "kept")?.split(",") ?? []).map((file) =>
      readFiles([file.trim()], given, world),
    );
    const checksPath = textOption(given, "checks");
    const read = checksPath === undefined ? null : readChecks(textOf(checksPath, world), checksPath);
    const said = [
      ...asked.problems,
      ...problems,
      ...kept.flatMap((lot) => lot.problems),
      ...(read?.problems ?? []),
    ];
    const body = askCheck({ ...asked, problems: said }, band, given, {
      kept: kept.map((lot) => lot.measurements),
      checks: read?.checks ?? [],
    });
    const lines = body.rows.map((row) => {
      const { name, unit, factor } = limitWords(row);
      const show = (v: number | null) => (v === null ? "–" : figures(v * factor));
      const where = body.gap === null ? row.verdict : `${row.verdict} as measured`;
      return `  ${`${name} ${show(row.value)} ${unit}`.trim()}, limits ${statisticText(row, show)}: ${where}`;
    });
    const release = body.release === null ? [] : [body.release.sentence, ...body.release.notes];
    const shift = body.sizeShiftNeeded === null ? [] : [body.sizeShiftNeeded.sentence];
    const budget = body.budget === null ? [] : [body.budget.sentence];
    return {
      body,
      sentences: [body.sentence, ...lines, ...release, ...shift, ...budget],
      isNo: body.verdict !== "in band" || body.gap !== null,
    };
  },
};
