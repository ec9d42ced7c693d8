import { UnusableInput } from "#api/faults.ts";
import { problem } from "#distributions/problem.ts";
import type { Store } from "../store/store.ts";
import type { Command } from "./command.ts";
import { labSwitch, withStore } from "./keeping.ts";

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
