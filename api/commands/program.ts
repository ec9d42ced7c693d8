import { join, posix } from "node:path";
import { textOption } from "#api/contract/options.ts";
import { UnusableInput } from "#api/faults.ts";
import { whereaboutsOf } from "#api/store/database/database.ts";
import { samplesIn } from "../demoFiles.ts";
import { settingNames } from "../settings.ts";
import type { Command, World } from "./command.ts";

/** What an option of `serve` is called among the settings of the environment. */
const settingOf: Readonly<Record<string, string>> = {
  port: "PORT",
  host: "HOST",
  data: "FINEBAND_DATA",
};

export const serve: Command = {
  summary: "The dashboard and its API, until it is stopped (Ctrl+C).",
  usage: "[--port 8417] [--host 127.0.0.1] [--data FOLDER]",
  flags: Object.keys(settingOf),
  async run(files, given, world) {
    takesNothing(files);
    const said = Object.entries(settingOf).flatMap(([flag, setting]) => {
      const value = textOption(given, flag);
      return value === undefined ? [] : [[setting, value] as const];
    });
    await world.serve(Object.fromEntries(said));
    return { body: { problems: [] }, sentences: ["It goes on until it is stopped: Ctrl+C."], isNo: false };
  },
};

export const where: Command = {
  summary: "Where things are kept, and which settings of the environment hold.",
  usage: "",
  flags: [],
  run(files, _given, world) {
    takesNothing(files);
    const found = whereThingsAre(world);
    const sentences = [
      `Fineband ${found.version} is ${found.isInstalled ? "installed as a package" : "run from a checkout"}.`,
      found.database === "file"
        ? `Labs are kept in ${found.data}.`
        : `The lab is kept on the PostgreSQL server of DATABASE_URL; the demo in ${found.data}.`,
      `Backups are written to ${found.backups}.`,
      found.settingsFile === null
        ? "No file of settings is read: FINEBAND_SETTINGS names one."
        : `Settings that the environment does not have are read from ${found.settingsFile}, where it is there.`,
      ...Object.entries(found.settings).map(([name, value]) => `${name} is ${value ?? "not set"}.`),
    ];
    return { body: { ...found, problems: [] }, sentences, isNo: false };
  },
};

function whereThingsAre({ places, environment, version }: World) {
  const { databaseUrl, folder, backups } = whereaboutsOf(environment, places.data);
  // An address may hold a password.
  const shown = (name: string) =>
    environment[name] === undefined
      ? null
      : name === "DATABASE_URL"
        ? "set, and not shown"
        : environment[name];
  return {
    version,
    isInstalled: places.isInstalled,
    database: databaseUrl === null ? "file" : "postgres",
    data: folder,
    backups: backups ?? `${folder}/backups`,
    settingsFile: places.settings,
    settings: Object.fromEntries(settingNames.map((name) => [name, shown(name)])),
  };
}

function takesNothing(files: readonly string[]): void {
  if (files.length > 0)
    throw new UnusableInput(
      `This command takes no file, found ${files.join(" ")}.`,
      files.join(" "),
      "no file",
    );
}

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
    const { paths, bytes } = samplesIn(world.places.samples);
    for (const within of new Set(paths.map(posix.dirname))) {
      const held = paths.filter((path) => posix.dirname(path) === within);
      world.writeFolder(
        join(folder, within),
        new Map(held.map((path) => [posix.basename(path), bytes(path)])),
      );
    }
    const sentences = [`${paths.length} files of the demo are written into ${folder}.`];
    return { body: { folder, files: paths.length, problems: [] }, sentences, isNo: false };
  },
};
