import { wordOption } from "#api/contract/options.ts";
import { UnusableInput } from "#api/faults.ts";
import { DamagedEntry } from "#api/records/faults.ts";
import { StoreFault } from "#api/store/database/storeFault.ts";
import type { Store } from "../store/store.ts";
import type { Command, World } from "./command.ts";
import { labSwitch, withStore } from "./keeping.ts";

const forms = ["backup", "json", "csv"] as const;

export const backup: Command = {
  summary:
    "everything saved, into a file: with the change history (backup), or the current entries as one JSON or a folder of CSV",
  usage: "FILE [--as backup|json|csv] [--demo]",
  flags: ["as"],
  switches: [labSwitch],
  run(files, given, world) {
    const [path] = files;
    if (path === undefined || path === "-" || files.length > 1)
      throw new UnusableInput(
        "backup needs one file to write to, or one folder with --as csv.",
        files.join(", "),
        "FILE",
      );
    const form = wordOption(given, "as", forms) ?? "backup";
    return withStore({ world, given }, async (store) => {
      const entries = await write(store, form, path, world);
      return {
        body: { file: path, form, entries, problems: [] },
        sentences: [`${entries} saved in ${path}.`],
        isNo: false,
      };
    });
  },
};

/** @returns  what was written, in words */
async function write(
  store: Store,
  form: (typeof forms)[number],
  path: string,
  world: World,
): Promise<string> {
  try {
    if (form === "csv") {
      const tables = await store.copyTables();
      world.writeFolder(path, tables);
      return `${tables.size} tables`;
    }
    if (form === "json") {
      const lines = await world.writePieces(path, store.copyPieces());
      return `${lines - 1} lines of current entries`;
    }
    return `${(await world.writePieces(path, store.backup())) - 2} events`;
  } catch (fault) {
    if (fault instanceof DamagedEntry || fault instanceof StoreFault) throw new UnusableInput(fault.message);
    throw fault;
  }
}
