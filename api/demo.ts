import { basename } from "node:path";
import { idOf, ownDoing } from "#api/store/ledger/ledger.ts";
import type { Store } from "#api/store/store.ts";
import { readTable } from "#distributions/tables/readTable.ts";
import { readBand } from "#model/band/bandFile.ts";
import { folded } from "#model/lot/processSteps.ts";
import { stages } from "#model/lot/stages.ts";
import { parseMill } from "#model/mill/mill.ts";
import { readTrials } from "#model/mill/trials/readTrials.ts";
import { readPairs } from "#model/surface/readPairs.ts";
import {
  instrumentsFile,
  lotFile,
  materialsFile,
  millFile,
  photographsFile,
  type Samples,
  samplesIn,
  type TableOfLot,
  trialsFile,
  weighedTrials,
} from "./demoFiles.ts";

const garnet = { material: "yttrium aluminium garnet", densityGPerCm3: 4.55 };
const dopedGarnet = "yttrium aluminium garnet, doped";
const ceria = "ceria";

type IdsByName = ReadonlyMap<string, number>;

/** What is kept so far, by the names the files have for it. */
interface Kept {
  readonly bands: IdsByName;
  readonly millId: number | null;
}

/** Fills an empty store with the demo scenario, read from its files as a user's would be: a lab of three materials. */
export async function saveDemo(store: Store, samples: string): Promise<void> {
  const files = samplesIn(samples);
  const { bands: garnetBands, millId } = await saveHostLine(store, samples);
  for (const instrument of instrumentsFile.parse(JSON.parse(files.text("lab/instruments.json"))))
    await store.keepEntry("instrument", instrument, ownDoing);

  const ceriaBands = await keepBands(store, files, "ceria/bands");
  const materialIds = await keepMaterials(store, files, new Map([...garnetBands, ...ceriaBands]));
  await keepLots(store, files, { folder: "ceria/lots", bands: ceriaBands });
  await keepMill(store, files, { folder: "ceria/mill", materialId: materialIds.get(folded(ceria)) });

  const lotIds = await keepLots(store, files, { folder: "campaign", bands: garnetBands });
  const entered = trialsFile.parse(JSON.parse(files.text("mill/trials-doped.json")));
  const trials = entered.map(({ sample, ...trial }) => ({
    ...trial,
    curve: curveOf(files, "mill/curves-doped", trial.name.replace(" ", "-")),
    exclusionReason: null,
    materialId: materialIds.get(folded(dopedGarnet)),
    sample: sample === undefined ? undefined : { lotId: numberOf(lotIds, sample.lot), stage: sample.stage },
  }));
  await keepPhotographs(store, files, lotIds);
  if (millId !== null) await store.keepTrials(millId, trials, ownDoing);
}

async function keepPhotographs(store: Store, files: Samples, lotIds: IdsByName): Promise<void> {
  const entered = photographsFile.parse(JSON.parse(files.text("photographs/photographs.json")));
  for (const { lot, stage, file, note } of entered) {
    const bytes = files.bytes(`photographs/${file}`);
    const at = { lotId: numberOf(lotIds, lot), stage };
    await store.keepPhotograph(at, { name: file, note, bytes }, ownDoing);
  }
}

/** The first part of the demo alone: six lots of one material with their reference, band, mill and BET pairs. */
export async function saveHostLine(store: Store, samples: string): Promise<Kept> {
  const files = samplesIn(samples);
  const bands = await keepBands(store, files, "bands");
  await keepLots(store, files, { folder: "lots", bands });
  const reference = { name: "Reference powder", ...garnet, bandId: null, note: "Purchased." };
  const referenceId = idOf(await store.keepLot(reference, ownDoing));
  await keepRuns(store, files, {
    lotId: referenceId,
    folder: "reference",
    table: { file: "reference-powder.csv", stage: "reference" },
  });
  const { materials } = await store.materials();
  const millId = await keepMill(store, files, { folder: "mill", materialId: materials[0]?.id });
  for (const pair of readPairs(files.text("pairs.csv"), "pairs.csv").pairs)
    await store.keepEntry("pair", { ...pair, material: garnet.material }, ownDoing, "noted");
  return { bands, millId };
}

async function keepBands(store: Store, { text, names }: Samples, folder: string): Promise<IdsByName> {
  const ids = new Map<string, number>();
  for (const file of names(folder)) {
    const { band } = readBand(text(`${folder}/${file}`), file);
    if (band !== null) ids.set(basename(file, ".json"), idOf(await store.keepBand(band, ownDoing)));
  }
  return ids;
}

/** The materials that are not there yet. @returns the numbers of all, by name */
async function keepMaterials(store: Store, { text }: Samples, bands: IdsByName): Promise<IdsByName> {
  const there = (await store.materials()).materials;
  const ids = new Map(there.map(({ id, name }) => [folded(name), id]));
  for (const entered of materialsFile.parse(JSON.parse(text("lab/materials.json")))) {
    if (ids.has(folded(entered.name))) continue;
    const own = entered.bands.map(({ stage, band }) => ({ stage, bandId: numberOf(bands, band) }));
    ids.set(folded(entered.name), idOf(await store.keepMaterial({ ...entered, bands: own }, ownDoing)));
  }
  return ids;
}

/** Each lot of a folder with all that is known of it. A lot that comes from others stands behind them. */
async function keepLots(
  store: Store,
  files: Samples,
  { folder, bands }: { readonly folder: string; readonly bands: IdsByName },
): Promise<IdsByName> {
  const ids = new Map<string, number>();
  for (const file of files.names(folder).filter((name) => name.endsWith(".json"))) {
    const entered = lotFile.parse(JSON.parse(files.text(`${folder}/${file}`)));
    const { band, state, stages: noted, results, tables, parents, ...lot } = entered;
    const from = parents.map(({ lot: name, ...parent }) => ({ ...parent, lotId: numberOf(ids, name) }));
    const own = { ...lot, bandId: numberOf(bands, band), ...(from.length === 0 ? {} : { parents: from }) };
    const lotId = idOf(await store.keepLot(own, ownDoing));
    const id = basename(file, ".json");
    ids.set(id, lotId);
    for (const table of tables ?? tablesByStage(files.names(`${folder}/${id}`)))
      await keepRuns(store, files, { lotId, folder: `${folder}/${id}`, table });
    for (const stage of stages) {
      const note = noted[stage];
      if (note !== undefined) await store.keepStage({ lotId, stage }, note, null, ownDoing);
    }
    for (const found of results) await store.keepResult(lotId, found, ownDoing);
    if (state !== undefined) {
      const { by, ...was } = state;
      await store.setState(lotId, { ...was, lotId: null }, null, { ...ownDoing, by });
    }
  }
  return ids;
}

const tablesByStage = (names: readonly string[]): TableOfLot[] =>
  stages.map((stage) => ({ file: `${stage}.csv`, stage })).filter(({ file }) => names.includes(file));

async function keepRuns(
  store: Store,
  { text }: Samples,
  { lotId, folder, table }: { readonly lotId: number; readonly folder: string; readonly table: TableOfLot },
): Promise<void> {
  const { file, stage, day, instrument, portion } = table;
  const content = text(`${folder}/${file}`);
  const entered = {
    ...(day === undefined ? {} : { date: day }),
    ...(instrument === undefined ? {} : { instrument, technique: "laser diffraction" }),
  };
  const runs = readTable(content, file, {}).measurements.map((run) =>
    Object.keys(entered).length === 0 ? run : { ...run, howMeasured: { ...run.howMeasured, ...entered } },
  );
  await store.keepMeasurements(
    { lotId, stage },
    runs,
    { file, text: content, options: {}, portion },
    ownDoing,
  );
}

/** A mill with its trials, the curves measured of some, and what was weighed of each. @returns null where it is none */
async function keepMill(
  store: Store,
  files: Samples,
  { folder, materialId }: { readonly folder: string; readonly materialId: number | undefined },
): Promise<number | null> {
  const { text } = files;
  const file: unknown = JSON.parse(text(`${folder}/mill.json`));
  const { mill } = parseMill(file, "mill.json");
  if (mill === null) return null;
  const id = idOf(await store.keepMill({ name: millFile.parse(file).name, mill }, ownDoing));
  const weighed = weighedTrials(text(`${folder}/product.csv`));
  const trials = readTrials(text(`${folder}/trials.csv`), "trials.csv").trials.map((trial, i) => {
    const name = `trial ${i + 1}`;
    const { productKgPerH = null, ...masses } = weighed.get(name) ?? {};
    return {
      name,
      trial: { ...trial, productKgPerH },
      curve: curveOf(files, `${folder}/curves`, `trial-${i + 1}`),
      exclusionReason: null,
      materialId,
      ...masses,
    };
  });
  await store.keepTrials(id, trials, ownDoing);
  return id;
}

/** The curve measured of a trial; null where none was. */
function curveOf({ text, names }: Samples, folder: string, trial: string) {
  const file = `${trial}.csv`;
  if (!names(folder).includes(file)) return null;
  return readTable(text(`${folder}/${file}`), file, {}).measurements[0]?.distribution ?? null;
}

/** @throws Error  a file names what does not stand before it */
function numberOf(ids: IdsByName, name: string): number {
  const id = ids.get(name);
  if (id === undefined) throw new Error(`The demo's files name ${name}, which is not there.`);
  return id;
}
