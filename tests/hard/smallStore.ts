import { sizeDistribution } from "#distributions/sizeDistribution.ts";
import { type ChangeContext, idOf, ownDoing } from "../../api/store/ledger/ledger.ts";
import type { Store } from "../../api/store/store.ts";

const someone: ChangeContext = { kind: "change", by: "Ana", why: "", request: null };
const curveOf = (shares: readonly number[]) =>
  sizeDistribution({ quantity: "volume", lowerUm: [1, 2, 4], upperUm: [2, 4, 8], shares });
/** A grey point. Source of the format: ISO/IEC 15948. */
const png = Buffer.from(
  "iVBORw0KGgoAAAANSUhEUgAAAAEAAAABCAAAAAA6fptVAAAACklEQVR4nGNgAAAAAgABSK+kcQAAAABJRU5ErkJggg==",
  "base64",
);
const mill = {
  wheelRadiusM: 0.05,
  wheelHeightM: 0.05,
  freeAreaShare: 0.7,
  swirlRatio: 1,
  ratedSpeedRpm: 12_000,
  gas: "air" as const,
  temperatureC: 20,
  pressurePa: 1e5,
  gasFlowM3PerH: 200,
  particleDensityGPerCm3: 4.5,
};

/** Keeps something of every kind: few bytes, each of which somebody reads. */
export async function fillSmall(store: Store): Promise<void> {
  const rows = [{ limit: "d50Um" as const, low: 1.5, high: 4 }];
  const band = {
    version: 1 as const,
    name: "Band",
    stage: "milled",
    densityGPerCm3: 4.55,
    rule: "simple" as const,
  };
  const bandId = idOf(await store.keepBand({ ...band, rows, envelope: null }, ownDoing));
  const lot = { material: "garnet", densityGPerCm3: 4.55, bandId, note: "" };
  const first = idOf(await store.keepLot({ ...lot, name: "First" }, someone));
  const second = idOf(
    await store.keepLot({ ...lot, material: "ceria", name: "Second", bandId: null }, someone),
  );
  const portion = { name: "P1", drawn: "spear", massG: 2, day: null };
  const runs = [
    [0.2, 0.5, 0.3],
    [0.25, 0.5, 0.25],
    [0.2, 0.55, 0.25],
  ].map((shares, i) => ({ name: `run ${i}`, file: "runs.csv", distribution: curveOf(shares) }));
  const table = { file: "runs.csv", text: "size,share\n1,20\n", options: {} };
  await store.keepMeasurements({ lotId: first, stage: "milled" }, runs, { ...table, portion }, someone);
  await store.keepMeasurements({ lotId: second, stage: "milled" }, runs.slice(0, 1), table, someone);
  await store.keepPhotograph({ lotId: first, stage: "milled" }, { name: "powder.png", bytes: png }, someone);
  const result = { stage: null, name: "BET", value: 2.5, unit: "m²/g", uncertainty: null, note: "" };
  await store.keepResult(first, result, someone);
  const settings = [{ name: "temperature", value: "1200", unit: "°C" }];
  await store.keepStage({ lotId: first, stage: "milled" }, { settings, note: "" }, null, someone);
  const batch = { afterMin: 10, d50AfterUm: null, targetD50Um: 2, rateExponent: 1, fragmentExponent: 1 };
  await store.keepBatch({ lotId: first, stage: "milled" }, batch, null, someone);
  await store.keepEntry("pair", { stage: "milled", geometricM2PerG: 2, betM2PerG: 2.4 }, someone);
  const millId = idOf(await store.keepMill({ name: "Mill", mill }, someone));
  const trial = {
    speedRpm: 9000,
    gasFlowM3PerH: null,
    feedKgPerH: null,
    d10Um: null,
    d50Um: 2.6,
    d90Um: null,
  };
  await store.keepTrials(
    millId,
    [
      {
        name: "T1",
        trial,
        curve: curveOf([0.3, 0.4, 0.3]),
        exclusionReason: null,
        sample: { lotId: first, stage: "milled" },
      },
    ],
    someone,
  );
  const check = {
    day: "2026-11-30",
    referenceMaterial: "glass",
    quantity: "D50",
    unit: "µm",
    stated: 3,
    found: 3.1,
  };
  const instrument = {
    name: "Analyser",
    technique: "laser",
    serial: "7",
    inUseFrom: null,
    inUseTo: null,
    note: "",
  };
  await store.keepEntry(
    "instrument",
    { ...instrument, checks: [{ ...check, standardUncertainty: null }] },
    someone,
  );
  await store.release(first, { stage: "milled", name: "Ana", note: "" }, someone);
}
