import { existsSync, readdirSync, readFileSync } from "node:fs";
import { basename, join } from "node:path";
import { z } from "zod";
import { idOf, ownDoing } from "#api/store/ledger/ledger.ts";
import type { Store } from "#api/store/store.ts";
import { readTable } from "#distributions/tables/readTable.ts";
import { readBand } from "#model/band/bandFile.ts";
import { type Stage, stages } from "#model/lot/stages.ts";
import { parseMill } from "#model/mill/mill.ts";
import { readTrials } from "#model/mill/trials/readTrials.ts";
import { readPairs } from "#model/surface/readPairs.ts";

const setting = z.object({ name: z.string(), value: z.string(), unit: z.string() });
const result = z.object({
  stage: z.enum(stages),
  name: z.string(),
  value: z.number(),
  unit: z.string(),
  uncertainty: z.number(),
  note: z.string(),
});
const lotFile = z.object({
  name: z.string(),
  material: z.string(),
  densityGPerCm3: z.number(),
  band: z.string(),
  note: z.string(),
  settings: z.partialRecord(z.enum(stages), z.array(setting)).default({}),
  results: z.array(result).default([]),
});
const millFile = z.looseObject({ name: z.string() });
const garnet = { material: "yttrium aluminium garnet", densityGPerCm3: 4.55 };

/** The demo's files by their paths, as a user would have them on disk. */
interface Samples {
  readonly text: (path: string) => string;
  /** The names in a folder, in order; none where there is no such folder. */
  readonly names: (path: string) => readonly string[];
}

/** Fills an empty store with the demo scenario, read from its files as a user's would be. */
export async function saveDemo(store: Store, samples: string): Promise<void> {
  const garnetBands = await saveHostLine(store, samples);
  const files = filesIn(samples);
  const ceriaBands = await keepBands(store, files, "ceria/bands");
  await keepLots(store, files, { folder: "ceria/lots", bandIds: ceriaBands });
  await keepMill(store, files, "ceria/mill");
  // The newest come last: one of them is what the demo opens with.
  await keepLots(store, files, { folder: "campaign", bandIds: garnetBands });
}

/** The first part of the demo alone: six lots of one material with their reference, band, mill and BET pairs. */
export async function saveHostLine(store: Store, samples: string): Promise<IdsByName> {
  const files = filesIn(samples);
  const garnetBands = await keepBands(store, files, "bands");
  await keepLots(store, files, { folder: "lots", bandIds: garnetBands });
  const reference = { name: "Reference powder", ...garnet, bandId: null, note: "Purchased." };
  const referenceId = idOf(await store.keepLot(reference, ownDoing));
  await keepRuns(store, files, { lotId: referenceId, stage: "reference" }, "reference/reference-powder.csv");
  await keepMill(store, files, "mill");
  for (const pair of readPairs(files.text("pairs.csv"), "pairs.csv").pairs)
    await store.keepEntry("pair", { ...pair, material: garnet.material }, ownDoing, "noted");
  return garnetBands;
}

type IdsByName = ReadonlyMap<string, number>;

const filesIn = (samples: string): Samples => ({
  text: (path) => readFileSync(join(samples, path), "utf8"),
  names: (path) => (existsSync(join(samples, path)) ? readdirSync(join(samples, path)).sort() : []),
});

async function keepBands(store: Store, { text, names }: Samples, folder: string): Promise<IdsByName> {
  const ids = new Map<string, number>();
  for (const file of names(folder)) {
    const { band } = readBand(text(`${folder}/${file}`), file);
    if (band !== null) ids.set(basename(file, ".json"), idOf(await store.keepBand(band, ownDoing)));
  }
  return ids;
}

/** Each lot of a folder with its runs, its settings and what else was found; a stage may come in several tables. */
async function keepLots(
  store: Store,
  files: Samples,
  { folder, bandIds }: { readonly folder: string; readonly bandIds: IdsByName },
): Promise<void> {
  for (const file of files.names(folder).filter((name) => name.endsWith(".json"))) {
    const told: unknown = JSON.parse(files.text(`${folder}/${file}`));
    const { band, settings, results, ...lot } = lotFile.parse(told);
    const lotId = idOf(await store.keepLot({ ...lot, bandId: bandIds.get(band) ?? null }, ownDoing));
    const own = `${folder}/${basename(file, ".json")}`;
    const tables = files.names(own);
    for (const stage of stages) {
      for (const table of tables.filter(
        (name) => name === `${stage}.csv` || name.startsWith(`${stage}-portion`),
      ))
        await keepRuns(store, files, { lotId, stage }, `${own}/${table}`);
      const set = settings[stage];
      if (set !== undefined)
        await store.keepStage({ lotId, stage }, { settings: set, note: "" }, null, ownDoing);
    }
    for (const found of results) await store.keepResult(lotId, found, ownDoing);
  }
}

async function keepRuns(
  store: Store,
  { text }: Samples,
  at: { readonly lotId: number; readonly stage: Stage },
  path: string,
): Promise<void> {
  const table = text(path);
  const { measurements } = readTable(table, basename(path), {});
  await store.keepMeasurements(
    at,
    measurements,
    { file: basename(path), text: table, options: {} },
    ownDoing,
  );
}

/** A mill with its trials, the curves measured of some, and what was weighed of each where that stands in a file beside. */
async function keepMill(store: Store, { text, names }: Samples, folder: string): Promise<void> {
  const file: unknown = JSON.parse(text(`${folder}/mill.json`));
  const { mill } = parseMill(file, "mill.json");
  if (mill === null) return;
  const id = idOf(await store.keepMill({ name: millFile.parse(file).name, mill }, ownDoing));
  const curves = new Set(names(`${folder}/curves`));
  const weighed = new Map(
    (names(folder).includes("product.csv") ? text(`${folder}/product.csv`) : "")
      .split("\n")
      .slice(1)
      .map((line): [string, number] => [line.split(",")[0] ?? "", Number(line.split(",")[1])]),
  );
  const trials = readTrials(text(`${folder}/trials.csv`), "trials.csv").trials.map((read, i) => {
    const name = `trial ${i + 1}`;
    const curve = `trial-${i + 1}.csv`;
    const [measurement] = curves.has(curve)
      ? readTable(text(`${folder}/curves/${curve}`), curve, {}).measurements
      : [];
    const productKgPerH = weighed.get(name) ?? read.productKgPerH;
    const trial = productKgPerH === undefined ? read : { ...read, productKgPerH };
    return { name, trial, curve: measurement?.distribution ?? null, exclusionReason: null };
  });
  await store.keepTrials(id, trials, ownDoing);
}
