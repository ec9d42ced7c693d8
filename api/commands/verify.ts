import { UnusableInput } from "#api/faults.ts";
import { problem } from "#distributions/problem.ts";
import type { Command } from "./command.ts";
import { withStore } from "./keeping.ts";

export const verify: Command = {
  summary: "go through every checksum and the whole record; --mend sets entries right from the record",
  usage: "[--mend]",
  flags: [],
  switches: ["mend"],
  run(files, given, world) {
    if (files.length > 0)
      throw new UnusableInput(
        `verify takes no file; found ${files.join(", ")}.`,
        files.join(", "),
        "options only",
      );
    return withStore(world, async (store) => {
      const mended = given["mend"] === undefined ? 0 : await store.mend();
      const { events, entries, faults } = await store.verify();
      const isSound = faults.length === 0;
      return {
        body: {
          isSound,
          events,
          entries,
          mended,
          faults,
          problems: faults.map((fault) => problem("note", fault)),
        },
        sentences: [
          ...(mended === 0
            ? []
            : [`${mended === 1 ? "One entry was" : `${mended} entries were`} set right.`]),
          isSound
            ? `Sound: ${events} events and the ${entries} entries that follow from them.`
            : `${faults.length === 1 ? "One fault" : `${faults.length} faults`} in ${events} events and ${entries} entries.`,
          ...faults,
        ],
        isNo: !isSound,
      };
    });
  },
};
