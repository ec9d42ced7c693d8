import { isOn, textOption } from "#api/contract/options.ts";
import { UnusableInput } from "#api/faults.ts";
import { maxExported, savedTables } from "#api/store/savedTables.ts";
import { csvTables, workbookOf } from "#api/store/tableFiles.ts";
import { counted } from "#model/words/wording.ts";
import type { Command } from "./command.ts";
import { damageProblems, labSwitch, withStore } from "./keeping.ts";
import { lotsAsked } from "./named.ts";

/** Texts that begin like a formula as they are, where a spreadsheet would run them. */
const asSaved = "texts-as-saved";

/** `export`: saved lots as tidy tables. */
export const exporting: Command = {
  summary: "saved lots as tidy tables: lots, verdicts, sizes, curves, results and the method",
  usage:
    "--lots NUMBER,NUMBER,… | --lot NAME | --material NAME  --out FILE.xlsx | FOLDER [--texts-as-saved] [--demo]",
  flags: ["lots", "lot", "material", "out"],
  switches: [asSaved, labSwitch],
  run(files, given, world) {
    const which = ["lots", "lot", "material"].filter((flag) => textOption(given, flag) !== undefined);
    const out = textOption(given, "out");
    if (out === undefined || which.length !== 1 || files.length > 0)
      throw new UnusableInput(
        "export needs one of --lots, --lot and --material, and where to write: --out FILE.xlsx, or a folder for CSV.",
        files.join(", ") || "not all of it, or too much",
        exporting.usage,
      );
    return withStore({ world, given }, async (store) => {
      const ids = (await lotsAsked(store, given)).map(({ id }) => id);
      if (ids.length === 0 || ids.length > maxExported)
        throw new UnusableInput(
          `There are ${ids.length} such lots; one export takes 1 to ${maxExported}.`,
          String(ids.length),
          `1 to ${maxExported} lots`,
        );
      const { tables, damaged } = await savedTables(store, ids);
      if (/\.xlsx$/i.test(out)) world.writeFile(out, await workbookOf(tables));
      else world.writeFolder(out, csvTables(tables, isOn(given, asSaved)));
      const rows = Object.fromEntries([...tables].map(([name, list]) => [name, list.length]));
      const told = Object.entries(rows).map(([name, count]) => `${name} ${count}`);
      return {
        body: { out, rows, problems: damageProblems(damaged) },
        sentences: [`${counted(ids.length, "lot")} in ${out}; rows: ${told.join(", ")}.`],
        isNo: false,
      };
    });
  },
};
