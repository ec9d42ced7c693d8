import { readingFlags } from "#api/contract/options.ts";
import { flagsOf } from "#api/contract/verbs.ts";
import { UnusableInput } from "#api/faults.ts";
import { askCompare, askDescribe, askFines, askRuns, describeRows } from "#api/queries/powder.ts";
import type { OverRuns } from "#model/lot/overRuns.ts";
import { counted, figures } from "#model/words/wording.ts";
import { type Command, readFiles } from "./command.ts";

export const describe: Command = {
  summary: "percentiles, means, width and geometric area of each measurement",
  usage:
    "FILE… [--percentiles 10,50,90] [--as number|length|surface|volume] [--level 0.95] [--lots file|all] [--rows ndjson|csv]",
  flags: [...readingFlags, ...flagsOf("describe")],
  rows: describeRows,
  run(files, given, world) {
    const body = askDescribe(readFiles(files, given, world), given);
    const size = (value: number | null) => (value === null ? "not known" : `${figures(value)} µm`);
    const sentences = body.measurements.map((m) => {
      const percentiles = Object.entries(m.percentilesUm).map(([p, x]) => `D${p} ${size(x)}`);
      const parts = [
        ...percentiles,
        m.span === null ? null : `span ${figures(m.span)}`,
        `D[4,3] ${size(m.meansUm["4,3"])}`,
        `D[3,2] ${size(m.meansUm["3,2"])}`,
        m.surfaceM2PerG === null
          ? null
          : `geometric area ${m.surfaceIsLowerBound ? "at least " : ""}${figures(m.surfaceM2PerG)} m²/g`,
      ];
      return `${m.name} (by ${m.quantity}): ${parts.filter((p) => p !== null).join(", ")}.`;
    });
    const sure = (name: string, over: OverRuns, unit: string) =>
      over.value === null || over.low === null || over.high === null
        ? []
        : [`${name} ${figures(over.value)}${unit} (${figures(over.low)}–${figures(over.high)})`];
    const intervals = body.lots.flatMap((lot) => {
      const parts = [
        ...Object.entries(lot.percentilesUm).flatMap(([p, over]) => sure(`D${p}`, over, " µm")),
        ...sure("D[4,3]", lot.meansUm["4,3"], " µm"),
        ...sure("D[3,2]", lot.meansUm["3,2"], " µm"),
        ...sure("geometric area", lot.surfaceM2PerG, " m²/g"),
      ];
      const level = Math.round(100 * lot.span.level);
      return parts.length === 0
        ? []
        : [`Mean over ${counted(lot.runs.length, "run")} with ${level} % interval: ${parts.join(", ")}.`];
    });
    return { body, sentences: [...sentences, ...intervals], isNo: false };
  },
};

export const runs: Command = {
  summary: "the repeatability of runs: scatter, outliers, trends, copies",
  usage: "FILE… [--limits iso-13320|usp-429] [--cv-limits 5,3,5] [--lots file|all]",
  flags: [...readingFlags, ...flagsOf("runs")],
  run(files, given, world) {
    const body = askRuns(readFiles(files, given, world), given);
    const sentences = body.lots.map((lot) => `${lot.file ?? "standard input"}: ${lot.sentence}`);
    return { body, sentences: [...sentences, `Limits: ${body.limits.source}.`], isNo: false };
  },
};

export const fines: Command = {
  summary: "inhalable, thoracic and respirable share of the bulk powder, for planning",
  usage: "FILE… --density G_PER_CM3 [--shape-factor 1] [--level 0.95]",
  flags: [...readingFlags, ...flagsOf("fines")],
  run(files, given, world) {
    const body = askFines(readFiles(files, given, world), given);
    return { body, sentences: [body.sentence, body.caution], isNo: false };
  },
};

export const compare: Command = {
  summary: "the change from A to B, each the mean of its measurements",
  usage: "A B [--below 0.5,1]",
  flags: [...readingFlags, ...flagsOf("compare")],
  run(files, given, world) {
    const [a, b, ...more] = files;
    if (a === undefined || b === undefined || more.length > 0)
      throw new UnusableInput("compare takes two tables, A and B.", `${files.length} files`, "two files");
    if (a === "-" && b === "-")
      throw new UnusableInput("Standard input can be read only once.", "- twice", "- once");
    const body = askCompare(readFiles([a], given, world), readFiles([b], given, world), given);
    return { body, sentences: [body.sentence], isNo: false };
  },
};
