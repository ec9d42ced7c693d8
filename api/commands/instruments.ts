import { textOption, wordOption } from "#api/contract/options.ts";
import { UnusableInput } from "#api/faults.ts";
import { withoutUndefined } from "#api/records/withoutUndefined.ts";
import { askInstruments, askOffset } from "#api/store/savedInstruments.ts";
import { figures } from "#model/words/wording.ts";
import type { Command } from "./command.ts";
import { labSwitch, withStore } from "./keeping.ts";

export const instruments: Command = {
  summary:
    "how the saved instruments stand by their checks; with --first and --second the offset between two, from lots measured by both",
  usage: "[--first NAME --second NAME [--percentile 50] [--material NAME]] [--demo]",
  flags: ["first", "second", "percentile", "material"],
  switches: [labSwitch],
  run(_files, given, world) {
    const [first, second] = [textOption(given, "first"), textOption(given, "second")];
    if ((first === undefined) !== (second === undefined))
      throw new UnusableInput("An offset is between two: give --first and --second.", "one of them", "both");
    return withStore({ world, given }, async (store) => {
      if (first === undefined || second === undefined) {
        const found = await askInstruments(store);
        const none = found.instruments.length === 0 ? ["No instrument is saved."] : [];
        const sentences = [...none, ...found.instruments.map(({ sentence }) => sentence)];
        return { body: { ...found, problems: [] }, sentences, isNo: false };
      }
      const percentile = wordOption(given, "percentile", ["10", "50", "90"]);
      const asked = withoutUndefined({
        percentile: percentile === undefined ? undefined : Number(percentile),
        material: textOption(given, "material"),
      });
      const found = await askOffset(store, { first, second, ...asked });
      const each = found.lots.map(
        ({ lot, firstUm, secondUm }) => `${lot}: ${figures(firstUm)} µm and ${figures(secondUm)} µm.`,
      );
      return { body: { ...found, problems: [] }, sentences: [found.sentence, ...each], isNo: false };
    });
  },
};
