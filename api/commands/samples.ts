import { join, posix } from "node:path";
import { UnusableInput } from "#api/faults.ts";
import { samplesIn } from "../demoFiles.ts";
import type { Command } from "./command.ts";

export const samples: Command = {
  summary: "write the demo's files into a new folder, for the examples of the documents to be tried on",
  usage: "FOLDER",
  flags: [],
  run([folder, ...more], _given, world) {
    if (folder === undefined || more.length > 0)
      throw new UnusableInput("Give one folder to write into.", [folder, ...more].join(" "), "FOLDER");
    if (world.readFolder(folder) !== null)
      throw new UnusableInput(
        `${folder} is there already, and nothing is written over. Give one that is not there yet.`,
        folder,
        "a folder that is not there yet",
      );
    const { paths, text } = samplesIn(world.places.samples);
    for (const within of new Set(paths.map(posix.dirname))) {
      const held = paths.filter((path) => posix.dirname(path) === within);
      world.writeFolder(
        join(folder, within),
        new Map(held.map((path) => [posix.basename(path), text(path)])),
      );
    }
    const sentences = [`${paths.length} files of the demo are written into ${folder}.`];
    return { body: { folder, files: paths.length, problems: [] }, sentences, isNo: false };
  },
};
