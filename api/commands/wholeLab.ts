import { wordOption } from "#api/contract/options.ts";
import { UnusableInput } from "#api/faults.ts";
import { DamagedEntry } from "#api/records/faults.ts";
import type { SignatureState } from "#api/records/signature.ts";
import { StoreFault } from "#api/store/database/storeFault.ts";
import { isBackup } from "#api/store/transfer/backupReading.ts";
import { problem } from "#distributions/problem.ts";
import type { Store } from "../store/store.ts";
import { type Command, textOf, type World } from "./command.ts";
import { byCommand, labSwitch, withStore } from "./keeping.ts";

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

export const restore: Command = {
  summary: "replace all entries by those of a backup, a JSON copy or a folder of CSV; undo reverses it",
  usage: "FILE [--demo]",
  flags: [],
  switches: [labSwitch],
  run(files, given, world) {
    const [path] = files;
    if (path === undefined || files.length > 1)
      throw new UnusableInput(
        "restore needs one file or folder written by backup.",
        files.join(", "),
        "FILE",
      );
    return withStore({ world, given, usual: "own" }, async (store) => {
      const done = await restored(store, path, world);
      return { body: { file: path, ...done, problems: [] }, sentences: [wordsOf(path, done)], isNo: false };
    });
  },
};

interface Restored {
  readonly changed: boolean;
  readonly withTrail: boolean;
  /** Of a backup. */
  readonly signatureState?: SignatureState;
}

async function restored(store: Store, path: string, world: World): Promise<Restored> {
  const folder = world.readFolder(path);
  if (folder !== null) {
    const { seq } = await store.importTables(folder, byCommand);
    return { changed: seq !== null, withTrail: false };
  }
  const text = textOf(path, world);
  if (!isBackup(text)) {
    const { seq } = await store.importCopy(text, byCommand);
    return { changed: seq !== null, withTrail: false };
  }
  const { written, withTrail, signatureState } = await store.restore(text, byCommand);
  return { changed: written.seq !== null, withTrail, signatureState };
}

function wordsOf(path: string, { changed, withTrail, signatureState }: Restored): string {
  const whose = signatureState === undefined ? "" : signatureWords[signatureState];
  if (!changed) return `Nothing changed: ${path} holds the current entries.${whose}`;
  return withTrail
    ? `All of ${path} was restored, with its change history.${whose}`
    : `All entries were replaced by those of ${path}. Undo reverses this.${whose}`;
}

/** A forged one was refused before. */
const signatureWords: Readonly<Record<SignatureState, string>> = {
  own: "",
  foreign: " The backup was signed with another key than this lab's.",
  none: " The backup is not signed.",
  forged: "",
};

export const verify: Command = {
  summary:
    "check every checksum and the whole change history; --mend repairs entries from the change history",
  usage: "[--mend] [--demo]",
  flags: [],
  switches: ["mend", labSwitch],
  run(files, given, world) {
    if (files.length > 0)
      throw new UnusableInput(
        `verify takes no table; found ${files.join(", ")}.`,
        files.join(", "),
        "options only",
      );
    return withStore({ world, given }, async (store) => {
      const isMending = given["mend"] !== undefined;
      const plan = isMending ? await store.mendPlan() : [];
      const mended = isMending ? await store.mend() : 0;
      const { events, entries, faults, remarks } = await store.verify();
      const isSound = faults.length === 0;
      const would = isSound || isMending ? [] : await wouldMend(store);
      return {
        body: {
          isSound,
          events,
          entries,
          mended,
          faults,
          remarks,
          problems: faults.map((fault) => problem("note", fault)),
        },
        sentences: [
          ...plan.map((step) => `Mending: ${step}.`),
          ...(mended === 0 ? [] : [`${mended === 1 ? "One entry was" : `${mended} entries were`} repaired.`]),
          isSound
            ? `No fault in ${events} events and ${entries} entries.`
            : `${faults.length === 1 ? "One fault" : `${faults.length} faults`} in ${events} events and ${entries} entries.`,
          ...faults,
          ...remarks,
          ...would,
        ],
        isNo: !isSound,
      };
    });
  },
};

/** What --mend would do, said before anybody asks for it; nothing is changed. */
async function wouldMend(store: Store): Promise<string[]> {
  try {
    const plan = await store.mendPlan();
    return plan.map((step) => `"fineband verify --mend" would ${step}, after a backup.`);
  } catch (fault) {
    return [fault instanceof Error ? fault.message : String(fault)];
  }
}
