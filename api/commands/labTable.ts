import { isOn, numberOption, readingFlags, readingOptionsOf, textOption } from "#api/contract/options.ts";
import { UnusableInput } from "#api/faults.ts";
import { readReceived } from "#api/intake/filing.ts";
import { type LabTableAnswer, takeLabTable } from "#api/intake/labTables.ts";
import { withoutUndefined } from "#api/records/withoutUndefined.ts";
import type { ColumnSaid } from "#model/intake/labColumns.ts";
import { columnUses } from "#model/intake/labColumnWords.ts";
import { labTableText } from "#model/intake/labTableText.ts";
import { counted, listed } from "#model/words/wording.ts";
import { bytesOf, type Command } from "./command.ts";
import { byCommand, labSwitch, withStore } from "./keeping.ts";

export const labTable: Command = {
  summary:
    "a table of the lab's own (settings, results, days, masses, a history of lots) under any headings, with curve files beside it; --look only shows what each row becomes, --copy prints what is saved",
  usage:
    '[--look] [--stage STAGE] [--material NAME] [--density G] [--columns "HEADING=result;HEADING=setting@milled"] TABLE [CURVES…] | --copy [--material NAME] [--demo]',
  flags: ["stage", "material", "density", "columns", ...readingFlags],
  switches: ["look", "copy", labSwitch],
  run(files, given, world) {
    const material = textOption(given, "material");
    if (isOn(given, "copy"))
      return withStore({ world, given }, async (store) => {
        const text = labTableText(await store.notedLots(material ?? null));
        return { body: { text, problems: [] }, sentences: text.trimEnd().split("\n"), isNo: false };
      });
    const [table, ...curves] = files.flatMap((path) => {
      const inFolder = world.filesIn(path) ?? [];
      return inFolder.length > 0 ? inFolder : [path];
    });
    if (table === undefined) throw new UnusableInput("Give a table.", "no file", "TABLE");
    const said = withoutUndefined({
      stage: textOption(given, "stage"),
      material,
      columns: columnsSaid(textOption(given, "columns")),
    });
    return withStore({ world, given }, async (store) => {
      const reads = [];
      for (const path of curves)
        reads.push(
          await readReceived({
            file: path.replace(/^.*[\\/]/, ""),
            bytes: bytesOf(path, world),
            options: readingOptionsOf(given),
          }),
        );
      const received = {
        file: table,
        bytes: bytesOf(table, world),
        said,
        densityGPerCm3: numberOption(given, "density"),
        beside: reads,
      };
      const answer = await takeLabTable(store, received, isOn(given, "look") ? null : byCommand);
      return { body: answer, sentences: sentencesOf(answer), isNo: false };
    });
  },
};

/** What columns are, as HEADING=result or HEADING=setting@milled, with semicolons between. */
function columnsSaid(text: string | undefined): Readonly<Record<string, ColumnSaid>> | undefined {
  if (text === undefined) return undefined;
  return Object.fromEntries(
    text.split(";").map((one) => {
      const [, heading = "", word = "", stage] = /^(.+)=([^=@]+?)(?:@(.+))?$/.exec(one.trim()) ?? [];
      const as = columnUses.find((use) => use === word.trim());
      if (as === undefined)
        throw new UnusableInput(
          `--columns says nothing known in "${one}".`,
          one,
          `HEADING=USE, a use being ${listed(columnUses)}`,
        );
      return [heading.trim(), { as, ...withoutUndefined({ stage: stage?.trim() }) }];
    }),
  );
}

function sentencesOf({ columns, rows, kept, lots, seq }: LabTableAnswer): string[] {
  const open = columns.filter(({ as }) => as === "open").map(({ heading }) => `"${heading}"`);
  return [
    ...rows.map(({ row, lot, became }) => `Row ${row}, ${lot ?? "no lot"}: ${became}.`),
    ...(open.length === 0
      ? []
      : [`Not known, and left out until --columns says what it is: ${listed(open)}.`]),
    seq === null
      ? `Nothing was saved: ${counted(kept, "row")} of ${counted(lots, "lot")} can be.`
      : `Saved ${counted(kept, "row")} of ${counted(lots, "lot")} as one change.`,
  ];
}
