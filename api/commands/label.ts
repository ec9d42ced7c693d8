import { textOption } from "#api/contract/options.ts";
import { UnusableInput } from "#api/faults.ts";
import { savedLabels } from "#api/store/savedLabels.ts";
import type { Command } from "./command.ts";
import { labSwitch, withStore } from "./keeping.ts";
import { lotNamed, materialCalled, stageCalled } from "./named.ts";

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
