import { readingFlags } from "#api/contract/options.ts";
import { flagsOf } from "#api/contract/verbs.ts";
import { askDescribe, describeRows } from "#api/queries/powder.ts";
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
