import { setTimeout } from "node:timers/promises";
import { isOn } from "#api/contract/options.ts";
import { UnusableInput } from "#api/faults.ts";
import { FolderWatch } from "#api/intake/folderWatch.ts";
import { problem } from "#distributions/problem.ts";
import type { Command } from "./command.ts";
import { labSwitch, withStore } from "./keeping.ts";

const betweenMs = 1000;

export const watch: Command = {
  summary:
    "save what is certain of each new file in a folder, once it is complete, until it is stopped (Ctrl+C); --once ends when all there has been read",
  usage: "FOLDER [--once] [--demo]",
  flags: [],
  switches: ["once", labSwitch],
  run([folder, ...more], given, world) {
    if (folder === undefined || more.length > 0)
      throw new UnusableInput("Give one folder to watch.", [folder, ...more].join(" "), "FOLDER");
    return withStore({ world, given }, async (store) => {
      const watched = new FolderWatch(folder, () => Promise.resolve(store));
      const told = new Map<string, string>();
      let isDone = false;
      while (!(await world.isStopped()) && !isDone) {
        isDone = (await watched.pass()) && isOn(given, "once");
        const { files, fault } = watched.state;
        if (fault !== null) {
          if (told.get("") !== fault) world.complain(`${folder}: ${fault}\n`);
          told.set("", fault);
          if (isOn(given, "once")) break;
        }
        for (const { file, state, question } of files) {
          const line = question === null ? state : `${state}: ${question}`;
          if (told.get(file) !== line && state !== "being written") world.complain(`${file}: ${line}\n`);
          told.set(file, line);
        }
        if (!isDone) await setTimeout(betweenMs);
      }
      const { files, fault } = watched.state;
      const waiting = files.filter(({ state }) => state === "waiting");
      const saved = files.filter(({ state }) => state === "saved" || state === "saved already").length;
      const problems = [
        ...(fault === null ? [] : [problem("refused", fault, { file: folder })]),
        ...waiting.map(({ file, question }) => problem("question", question ?? "", { file })),
      ];
      const sentences = [`${saved} files of ${folder} are saved, ${waiting.length} wait for a word.`];
      return { body: { folder, saved, waiting, problems }, sentences, isNo: false };
    });
  },
};
