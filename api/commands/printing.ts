import { textOption, wordOption } from "#api/contract/options.ts";
import { UnusableInput } from "#api/faults.ts";
import { withoutUndefined } from "#api/records/withoutUndefined.ts";
import { savedLabels } from "#api/store/savedLabels.ts";
import { atMostSheets, type SavedReports, savedReport, savedReports } from "#api/store/savedReport.ts";
import { type ReportLevel, reportLevels } from "#model/answers/report/reportLevels.ts";
import type { Command } from "./command.ts";
import { labSwitch, withStore } from "./keeping.ts";
import { lotNamed, lotsAsked, materialCalled, stageCalled } from "./named.ts";

export const sheet: Command = {
  summary: "the report on a saved lot, or on several in one file, as a printable page",
  usage:
    "--lot NAME | --lots NUMBER,NUMBER,… | --material NAME | --month 2026-03  [--stage STAGE] [--report grade|method|full|customer] [--issuer NAME] [--customer NAME] --out FILE.html [--demo]",
  flags: ["lot", "lots", "material", "month", "stage", "report", "issuer", "customer", "out"],
  switches: [labSwitch],
  run(files, given, world) {
    const which = ["lot", "lots", "material", "month"].filter(
      (flag) => textOption(given, flag) !== undefined,
    );
    const out = textOption(given, "out");
    if (which.length !== 1 || out === undefined || files.length > 0)
      throw new UnusableInput(
        "sheet needs saved lots and a file to write to: one of --lot, --lots, --material and --month, and --out FILE.html.",
        files.join(", ") || "no lot, no file, or too much",
        "--lot NAME --out FILE.html",
      );
    const word = textOption(given, "stage");
    const report = wordOption<ReportLevel>(given, "report", reportLevels) ?? "full";
    const parties = withoutUndefined({
      issuer: textOption(given, "issuer"),
      customer: textOption(given, "customer"),
    });
    return withStore({ world, given }, async (store) => {
      const lots = atMostSheets(await lotsAsked(store, given));
      const [lot] = lots;
      if (lot === undefined) throw new UnusableInput("There is no such lot.", "no lot", "a saved lot");
      const material = lot.material === "" ? null : await materialCalled(store, lot.material);
      const stage = word === undefined ? undefined : stageCalled(material, word);
      const asked = { stage, report, parties };
      if (textOption(given, "lot") === undefined) {
        const { html, ...said } = await savedReports(store, lots, asked);
        world.writeFile(out, html);
        return {
          body: { ...said, report, file: out, problems: [] },
          sentences: told(said, out),
          isNo: false,
        };
      }
      const made = await savedReport(store, lot.id, asked);
      if (made === null)
        throw new UnusableInput(`${lot.name} was deleted meanwhile.`, lot.name, "a saved lot");
      world.writeFile(out, made.html);
      const body = { lot: lot.name, stage: made.stage, report, file: out, hash: made.hash, problems: [] };
      return { body, sentences: [`The report is in ${out}. ${made.verdict}`], isNo: false };
    });
  },
};

function told({ sheets, without }: Omit<SavedReports, "html">, out: string): string[] {
  return [
    ...sheets.map(({ lot, verdict }) => `${lot}: ${verdict}`),
    ...(without.length === 0 ? [] : [`Without runs to print: ${without.join("; ")}.`]),
    `${sheets.length === 1 ? "The report is" : `${sheets.length} reports are`} in ${out}.`,
  ];
}

export const label: Command = {
  summary: "labels for the jars of saved lots, as a printable page: lot, material, stage, D50, days, caution",
  usage: "LOT… [--stage STAGE] --out FILE.html [--demo]",
  flags: ["stage", "out"],
  switches: [labSwitch],
  run(names, given, world) {
    const out = textOption(given, "out");
    const [first] = names;
    if (first === undefined || out === undefined)
      throw new UnusableInput(
        "label needs the names of saved lots and a file to write to: LOT --out FILE.html.",
        names.join(", ") || "no lot",
        "LOT --out FILE.html",
      );
    const word = textOption(given, "stage");
    return withStore({ world, given }, async (store) => {
      const lots = await Promise.all(names.map((name) => lotNamed(store, name)));
      const material = lots[0] === undefined || lots[0].material === "" ? null : lots[0].material;
      const known = material === null ? null : await materialCalled(store, material);
      const stage = word === undefined ? undefined : stageCalled(known, word);
      const { html, labels } = await savedLabels(
        store,
        lots.map(({ id }) => id),
        stage,
      );
      world.writeFile(out, html);
      const sentences = [
        ...labels.map(({ lot, powder, size }) => `${lot}: ${powder}, ${size}.`),
        `${labels.length === 1 ? "The label is" : `${labels.length} labels are`} in ${out}.`,
      ];
      return { body: { labels, file: out, problems: [] }, sentences, isNo: false };
    });
  },
};
