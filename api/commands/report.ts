import { textOption, wordOption } from "#api/contract/options.ts";
import { UnusableInput } from "#api/faults.ts";
import { withoutUndefined } from "#api/records/withoutUndefined.ts";
import { savedReport } from "#api/store/savedReport.ts";
import { type ReportLevel, reportLevels } from "#model/answers/report/reportLevels.ts";
import type { Command } from "./command.ts";
import { labSwitch, withStore } from "./keeping.ts";
import { lotNamed, materialCalled, stageCalled } from "./named.ts";

export const sheet: Command = {
  summary: "the report on a saved lot, as a printable page",
  usage:
    "--lot NAME [--stage STAGE] [--report grade|method|full|customer] [--issuer NAME] [--customer NAME] --out FILE.html [--demo]",
  flags: ["lot", "stage", "report", "issuer", "customer", "out"],
  switches: [labSwitch],
  run(files, given, world) {
    const name = textOption(given, "lot");
    const out = textOption(given, "out");
    if (name === undefined || out === undefined || files.length > 0)
      throw new UnusableInput(
        "sheet needs a saved lot and a file to write to: --lot NAME --out FILE.html.",
        files.join(", ") || "no lot or no file",
        "--lot NAME --out FILE.html",
      );
    const word = textOption(given, "stage");
    const report = wordOption<ReportLevel>(given, "report", reportLevels) ?? "full";
    const parties = withoutUndefined({
      issuer: textOption(given, "issuer"),
      customer: textOption(given, "customer"),
    });
    return withStore({ world, given }, async (store) => {
      const lot = await lotNamed(store, name);
      const material = lot.material === "" ? null : await materialCalled(store, lot.material);
      const stage = word === undefined ? undefined : stageCalled(material, word);
      const made = await savedReport(store, lot.id, { stage, report, parties });
      if (made === null) throw new UnusableInput(`${name} was deleted meanwhile.`, name, "a saved lot");
      world.writeFile(out, made.html);
      const body = { lot: name, stage: made.stage, report, file: out, hash: made.hash, problems: [] };
      return { body, sentences: [`The report is in ${out}. ${made.verdict}`], isNo: false };
    });
  },
};
