import { readdirSync, readFileSync } from "node:fs";
import { basename, join } from "node:path";
import { z } from "zod";
import { idOf, ownDoing } from "#api/store/ledger/ledger.ts";
import type { Store } from "#api/store/store.ts";
import { readTable } from "#distributions/tables/readTable.ts";
import { readBand } from "#model/band/bandFile.ts";
import { stages } from "#model/lot/stages.ts";
import { parseMill } from "#model/mill/mill.ts";
import { readTrials } from "#model/mill/trials/readTrials.ts";
import { readPairs } from "#model/surface/readPairs.ts";

const lotFile = z.object({
  name: z.string(),
  material: z.string(),
  densityGPerCm3: z.number(),
  band: z.string(),
  note: z.string(),
});
const millFile = z.looseObject({ name: z.string() });

/** Fills an empty store with the demo scenario, read from its files as a user's would be. */
export async function saveDemo(store: Store, samples: string): Promise<void> {
  const text = (path: string) => readFileSync(join(samples, path), "utf8");
  const bandIds = new Map<string, number>();
  for (const file of readdirSync(join(samples, "bands")).sort()) {
    const { band } = readBand(text(`bands/${file}`), file);
    if (band !== null) bandIds.set(basename(file, ".json"), idOf(await store.keepBand(band, ownDoing)));
  }
  const keepStage = async (lotId: number, stage: (typeof stages)[number], path: string) => {
    const table = text(path);
    const { measurements } = readTable(table, basename(path), {});
    const received = { file: basename(path), text: table, options: {} };
    await store.keepMeasurements({ lotId, stage }, measurements, received, ownDoing);
  };
  for (const file of readdirSync(join(samples, "lots"))
    .filter((name) => name.endsWith(".json"))
    .sort()) {
    const { band, ...lot } = lotFile.parse(JSON.parse(text(`lots/${file}`)));
    const id = idOf(await store.keepLot({ ...lot, bandId: bandIds.get(band) ?? null }, ownDoing));
    const folder = `lots/${basename(file, ".json")}`;
    const kept = new Set(readdirSync(join(samples, folder)));
    for (const stage of stages)
      if (kept.has(`${stage}.csv`)) await keepStage(id, stage, `${folder}/${stage}.csv`);
  }
  const reference = {
    name: "Reference powder",
    material: "yttrium aluminium garnet",
    densityGPerCm3: 4.55,
    bandId: null,
    note: "Purchased.",
  };
  await keepStage(
    idOf(await store.keepLot(reference, ownDoing)),
    "reference",
    "reference/reference-powder.csv",
  );
  await keepDemoMill(store, samples, text);
  for (const pair of readPairs(text("pairs.csv"), "pairs.csv").pairs)
    await store.keepEntry("pair", pair, ownDoing, "noted");
}

async function keepDemoMill(store: Store, samples: string, text: (path: string) => string): Promise<void> {
  const file: unknown = JSON.parse(text("mill/mill.json"));
  const { mill } = parseMill(file, "mill.json");
  if (mill === null) return;
  const id = idOf(await store.keepMill({ name: millFile.parse(file).name, mill }, ownDoing));
  const curves = new Set(readdirSync(join(samples, "mill/curves")));
  const trials = readTrials(text("mill/trials.csv"), "trials.csv").trials.map((trial, i) => {
    const name = `trial ${i + 1}`;
    const curve = `trial-${i + 1}.csv`;
    const [measurement] = curves.has(curve)
      ? readTable(text(`mill/curves/${curve}`), curve, {}).measurements
      : [];
    return { name, trial, curve: measurement?.distribution ?? null, exclusionReason: null };
  });
  await store.keepTrials(id, trials, ownDoing);
}
