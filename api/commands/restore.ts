import { UnusableInput } from "#api/faults.ts";
import type { SignatureState } from "#api/records/signature.ts";
import { isBackup } from "#api/store/transfer/backupReading.ts";
import type { Store } from "../store/store.ts";
import { type Command, textOf, type World } from "./command.ts";
import { byCommand, labSwitch, withStore } from "./keeping.ts";

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
