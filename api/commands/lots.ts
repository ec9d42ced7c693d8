import { numberOption, textOption } from "#api/contract/options.ts";
import { UnusableInput } from "#api/faults.ts";
import type { SavedLot } from "#api/records/records.ts";
import { withoutUndefined } from "#api/records/withoutUndefined.ts";
import type { Command } from "./command.ts";
import { damageProblems, labSwitch, withStore } from "./keeping.ts";
import { materialCalled } from "./named.ts";

export const lots: Command = {
  summary: "the saved lots with their stages and runs",
  usage: "[--search WORDS] [--material NAME] [--limit N] [--demo]",
  flags: ["search", "material", "limit"],
  switches: [labSwitch],
  run(files, given, world) {
    if (files.length > 0)
      throw new UnusableInput(
        `lots takes no table; found ${files.join(", ")}.`,
        files.join(", "),
        "options only",
      );
    const search = textOption(given, "search");
    const limit = numberOption(given, "limit");
    if (limit !== undefined && !(Number.isInteger(limit) && limit > 0))
      throw new UnusableInput(
        `--limit must be a whole number above 0, found ${limit}.`,
        String(limit),
        "1, 2, …",
      );
    const name = textOption(given, "material");
    return withStore({ world, given }, async (store) => {
      const material = name === undefined ? undefined : (await materialCalled(store, name)).name;
      const found = await store.lots(withoutUndefined({ search, limit, material }));
      const of = material === undefined ? "" : ` of ${material}`;
      const count = `${found.total === 1 ? "One lot" : `${found.total} lots`}${of}${search === undefined ? "" : " found"}.`;
      return {
        body: { lots: found.lots, total: found.total, problems: damageProblems(found.damaged) },
        sentences: [count, ...found.lots.map(line)],
        isNo: false,
      };
    });
  },
};

function line({ id, name, material, densityGPerCm3, stages }: SavedLot): string {
  const runs = stages.map((s) => `${s.stage} ${s.runs}`).join(", ");
  const about = [material, `${densityGPerCm3} g/cm³`].filter((part) => part !== "").join(", ");
  return `${id}  ${name} (${about}): ${runs === "" ? "no runs yet" : runs}`;
}
