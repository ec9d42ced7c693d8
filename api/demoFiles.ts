import { existsSync, readdirSync, readFileSync } from "node:fs";
import { join, relative } from "node:path";
import { z } from "zod";
import { instrumentFields } from "#api/records/instrument.ts";
import { lotStates, parentFields } from "#api/records/lot.ts";
import { materialFields } from "#api/records/material.ts";
import { portionFields } from "#api/records/measurement.ts";
import { photographFields } from "#api/records/photograph.ts";
import { resultFields } from "#api/records/result.ts";
import { stageFields } from "#api/records/stageRecord.ts";
import { trialFields } from "#api/records/trial.ts";
import { stages } from "#model/lot/stages.ts";
import { archiveOf, isArchive } from "./archive.ts";

/** The demo's files by their paths, as a user would have them on disk. */
export interface Samples {
  /** All of them, in order. */
  readonly paths: readonly string[];
  readonly text: (path: string) => string;
  /** As they are on disk: of photographs, which are no text. */
  readonly bytes: (path: string) => Uint8Array;
  /** The names in a folder, in order; none where there is no such folder. */
  readonly names: (path: string) => readonly string[];
}

/** @param place  their folder, or an archive of it */
export function samplesIn(place: string): Samples {
  if (isArchive(place)) return samplesOf(archiveOf(place));
  const all = () => readdirSync(place, { recursive: true, withFileTypes: true });
  return {
    get paths() {
      const files = all().filter((one) => one.isFile() && !one.name.endsWith(".mjs"));
      return files.map((one) => relative(place, join(one.parentPath, one.name)).replaceAll("\\", "/")).sort();
    },
    text: (path) => readFileSync(join(place, path), "utf8"),
    bytes: (path) => readFileSync(join(place, path)),
    names: (path) => (existsSync(join(place, path)) ? readdirSync(join(place, path)).sort() : []),
  };
}

function samplesOf(files: ReadonlyMap<string, Uint8Array>): Samples {
  const bytes = (path: string) => {
    const file = files.get(path);
    if (file === undefined) throw new Error(`The demo has no file ${path}.`);
    return file;
  };
  return {
    paths: [...files.keys()].sort(),
    text: (path) => new TextDecoder().decode(bytes(path)),
    bytes,
    names(path) {
      const within = [...files.keys()].filter((name) => name.startsWith(`${path}/`));
      return [...new Set(within.map((name) => name.slice(path.length + 1).replace(/\/.*$/, "")))].sort();
    },
  };
}

/** What the files say of records is what the records hold, but for lots and bands: those are named by their files. */
const lotStage = z.object({ lot: z.string(), stage: z.enum(stages) });

/** A table of a lot: the stage it is of and, where told, when and with what it was measured, and on which portion. */
const tableOfLot = z.object({
  file: z.string(),
  stage: z.enum(stages),
  day: z.string().exactOptional(),
  instrument: z.string().exactOptional(),
  portion: portionFields.exactOptional(),
});
export type TableOfLot = z.infer<typeof tableOfLot>;

export const lotFile = z.object({
  name: z.string(),
  material: z.string(),
  densityGPerCm3: z.number(),
  band: z.string(),
  note: z.string(),
  dateMade: z.string().exactOptional(),
  parents: z.array(parentFields.omit({ lotId: true }).extend({ lot: z.string() })).default([]),
  state: z.object({ name: z.enum(lotStates), by: z.string(), why: z.string() }).exactOptional(),
  stages: z
    .partialRecord(
      z.enum(stages),
      stageFields.omit({ lotId: true, stage: true }).extend({ note: z.string().default("") }),
    )
    .default({}),
  results: z.array(resultFields.omit({ lotId: true })).default([]),
  /** Absent where each table is named after its stage. */
  tables: z.array(tableOfLot).exactOptional(),
});

export const millFile = z.looseObject({ name: z.string() });
export const materialsFile = z.array(
  materialFields.extend({ bands: z.array(z.object({ stage: z.string(), band: z.string() })) }),
);
export const instrumentsFile = z.array(instrumentFields);
export const photographsFile = z.array(
  lotStage.extend({ file: z.string(), note: photographFields.shape.note }),
);
export const trialsFile = z.array(
  trialFields.pick({ name: true, trial: true, feedMassG: true, productMassG: true }).extend({
    sample: lotStage.exactOptional(),
  }),
);

/** What was weighed of each trial, in a file beside: product per hour, feed and product in all. */
export function weighedTrials(table: string) {
  const rows = table.trim().split("\n").slice(1);
  return new Map(
    rows.map((row) => {
      const [name = "", ...cells] = row.split(",");
      const [productKgPerH, feedMassG, productMassG] = weighedRow.parse(cells.map(Number));
      return [name, { productKgPerH, feedMassG, productMassG }];
    }),
  );
}
const weighedRow = z.tuple([z.number(), z.number(), z.number()]);
