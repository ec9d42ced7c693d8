import { type Given, numberOption, readingFlags, textOption } from "#api/contract/options.ts";
import { flagsOf } from "#api/contract/verbs.ts";
import { UnusableInput } from "#api/faults.ts";
import { askBand } from "#api/queries/bands.ts";
import { decode } from "#distributions/tables/text/decode.ts";
import { bandFromTarget } from "#model/band/fromTarget.ts";
import { limitWords, quantityText } from "#model/band/limits.ts";
import { figures } from "#model/words/wording.ts";
import { bytesOf, type Command, type CommandOutcome, readFiles, type World } from "./command.ts";

export const band: Command = {
  summary: "a target band around the runs of a reference powder, as BAND.json",
  usage:
    "--from REFERENCE.csv [--tolerance-percent 3] [--coverage 0.95] [--name TEXT] [--stage re-fired] [--density G_PER_CM3] | --target TARGET.txt [--tolerance-percent T]",
  flags: [...readingFlags, ...flagsOf("band"), "target"],
  run(files, given, world) {
    const target = textOption(given, "target");
    if (target !== undefined) return ofTarget(world, target, given);
    const path = textOption(given, "from");
    if (path === undefined || files.length > 0)
      throw new UnusableInput(
        "band needs the runs of one reference powder, five or more: --from REFERENCE.csv.",
        files.join(", ") || "no reference",
        "--from REFERENCE.csv",
      );
    const body = askBand(readFiles([path], given, world), given);
    const lines = body.rows.map((row) => {
      const { name, unit } = limitWords(row);
      return `${name} ${figures(row.low ?? 0)}–${figures(row.high ?? 0)} ${unit}. ${row.source ?? ""}`.trim();
    });
    return { body, sentences: [body.source ?? "", ...lines], isNo: false };
  },
};

/** A customer's target as a band; without a tolerance, values that come alone limit nothing. */
function ofTarget(world: World, path: string, given: Given): CommandOutcome {
  const tolerancePercent = numberOption(given, "tolerance-percent") ?? null;
  const text = decode(bytesOf(path, world)).text;
  const of = {
    name: textOption(given, "name") ?? "target band",
    stage: textOption(given, "stage") ?? "",
    densityGPerCm3: numberOption(given, "density") ?? null,
  };
  const { band: made, open, problems } = bandFromTarget(text, of, { tolerancePercent });
  const rows = (made?.rows ?? []).map((row) => {
    const side = (word: string, limit: number | null) =>
      limit === null ? [] : [`${word} ${quantityText(row, limit)}`];
    return `${limitWords(row).name}: ${[...side("from", row.low), ...side("to", row.high)].join(" ")}.`;
  });
  const body = { ...made, open, problems: problems.map((one) => ({ ...one, file: path })) };
  return { body, sentences: [...rows, ...open], isNo: false };
}
