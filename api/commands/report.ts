import { textOption, wordOption } from "#api/contract/options.ts";
import { UnusableInput } from "#api/faults.ts";
import { savedReport } from "#api/store/savedReport.ts";
import { type ReportLevel, reportLevels } from "#model/answers/report/reportLevels.ts";
import { type Stage, stages } from "#model/lot/stages.ts";
import type { Command } from "./command.ts";
import { withStore } from "./keeping.ts";

export const sheet: Command = {
  summary: "one sheet about a kept lot, as a page that prints",
  usage: "--lot NAME [--stage STAGE] [--report grade|method|full] --out FILE.html",
  flags: ["lot", "stage", "report", "out"],
  run(files, given, world) {
    const name = textOption(given, "lot");
    const out = textOption(given, "out");
    if (name === undefined || out === undefined || files.length > 0)
      throw new UnusableInput(
        "sheet needs a kept lot and a file to write: --lot NAME --out FILE.html.",
        files.join(", ") || "no lot or no file",
        "--lot NAME --out FILE.html",
      );
    const stage = wordOption<Stage>(given, "stage", stages);
    const report = wordOption<ReportLevel>(given, "report", reportLevels) ?? "full";
    return withStore(world, async (store) => {
      const { lots } = await store.lots();
      const named = lots.filter((l) => l.name === name);
      const [lot, second] = named;
      if (lot === undefined || second !== undefined)
        throw new UnusableInput(
          lot === undefined
            ? `There is no lot named ${name}. Kept are ${lots.map((l) => l.name).join(", ")}.`
            : `${named.length} lots are named ${name}; rename one of them first.`,
          name,
          "the name of one kept lot",
        );
      const made = await savedReport(store, lot.id, { stage, report });
      if (made === null) throw new UnusableInput(`${name} is gone.`, name, "a kept lot");
      world.writeFile(out, made.html);
      const body = { lot: name, stage: made.stage, report, file: out, hash: made.hash, problems: [] };
      return { body, sentences: [`Written: ${out}. ${made.verdict}`], isNo: false };
    });
  },
};
