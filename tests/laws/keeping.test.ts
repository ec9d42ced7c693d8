import fc from "fast-check";
import { expect, test } from "vitest";
import { DomainError } from "#distributions/domainError.ts";
import { sizeDistribution } from "#distributions/sizeDistribution.ts";
import { stages } from "#model/lot/stages.ts";
import { usualPriors } from "#model/mill/trials/priors.ts";
import type { SavedLot } from "../../api/records/records.ts";
import type { ChangeContext } from "../../api/store/ledger/ledger.ts";
import type { Store } from "../../api/store/store.ts";
import { describeStore } from "../api/store/engines.ts";

const someone: ChangeContext = { kind: "change", by: "", why: "", request: null };

/** Anything that can be done to what is kept; `which` chooses among the entries there are. */
const deed = fc.record({
  verb: fc.constantFrom(
    "keepLot",
    "changeLot",
    "changeMaterial",
    "mergeMaterials",
    "splitMaterial",
    "setState",
    "comeFrom",
    "removeLot",
    "bringIn",
    "setAside",
    "noteHow",
    "keepBand",
    "changeBand",
    "removeBand",
    "keepPair",
    "changePair",
    "removePair",
    "keepMill",
    "keepTrials",
    "removeMill",
    "asideTrial",
    "believe",
    "keepBatch",
    "keepPressureMill",
    "changePressureMill",
    "removePressureMill",
    "keepBalance",
    "keepInstrument",
    "changeBalance",
    "removeBalance",
    "noteSettings",
    "keepResult",
    "removeResult",
    "freeze",
    "undo",
    "redo",
    "bringBack",
  ),
  which: fc.nat(),
  text: fc.string({ unit: "grapheme", maxLength: 12 }),
  number: fc.double({ min: 1e-6, max: 1e6, noNaN: true }),
});
type Deed = { verb: string; which: number; text: string; number: number };

const mill = {
  wheelRadiusM: 0.05,
  wheelHeightM: 0.05,
  freeAreaShare: 0.7,
  swirlRatio: 1,
  ratedSpeedRpm: null,
  gas: "air" as const,
  temperatureC: 20,
  pressurePa: 1e5,
  gasFlowM3PerH: 200,
  particleDensityGPerCm3: 4.5,
};

async function perform(store: Store, { verb, which, text, number }: Deed): Promise<void> {
  const one = <T extends { readonly id: number }>(all: readonly T[]): T | null =>
    all[which % Math.max(all.length, 1)] ?? null;
  const { lots } = await store.lots();
  const lot = one(lots);
  const band = /Band|Lot/.test(verb) ? one((await store.bands()).bands) : null;
  const pair = /Pair/.test(verb) ? one((await store.entries("pair")).entries) : null;
  const keptMill = /Mill|rial|believe/.test(verb) ? one((await store.mills()).mills) : null;
  const about = { name: text, material: text, densityGPerCm3: number, bandId: band?.id ?? null, note: text };
  const drawn = {
    version: 1 as const,
    name: text,
    stage: "milled",
    densityGPerCm3: number,
    rule: "simple" as const,
    rows: [{ limit: "d50Um", low: number, high: null }],
    envelope: null,
  };
  const share = 1 / (1 + number);
  const curve = sizeDistribution({
    quantity: "volume",
    lowerUm: [1, 2],
    upperUm: [2, 2 + number],
    shares: [share, 1 - share],
  });
  await performOnMaterials(store, { verb, which, text, number }, lots);
  if (verb === "keepLot") await store.keepLot(about, someone);
  if (verb === "keepBand") await store.keepBand(drawn, someone);
  if (verb === "keepPair")
    await store.keepEntry("pair", { stage: text, geometricM2PerG: number, betM2PerG: number }, someone);
  if (verb === "keepMill") await store.keepMill({ name: text, mill }, someone);
  if (verb === "undo" || verb === "redo") await store.step(verb, null, someone).catch(() => {});
  if (verb === "bringBack" && which % 2 === 0) await store.importCopy(await store.copy(), someone);
  if (verb === "changeBand" && band !== null) await store.changeBand(band.id, drawn, null, someone);
  if (verb === "removeBand" && band !== null) await store.removeBand(band.id, band.version, someone);
  if (verb === "changePair" && pair !== null)
    await store.changeEntry(
      { kind: "pair", id: pair.id },
      { stage: text, geometricM2PerG: number, betM2PerG: 1 },
      null,
      someone,
    );
  if (verb === "removePair" && pair !== null) await store.removeEntry("pair", pair.id, null, someone);
  if (verb === "removeMill" && keptMill !== null) await store.removeMill(keptMill.id, null, someone);
  if (verb === "keepTrials" && keptMill !== null) {
    const trial = {
      speedRpm: number,
      gasFlowM3PerH: null,
      feedKgPerH: number,
      d10Um: null,
      d50Um: number,
      d90Um: null,
    };
    const both = [
      { name: text, trial, curve: null, exclusionReason: null },
      {
        name: text,
        trial,
        curve,
        exclusionReason: null,
        ...(lot === null ? {} : { feed: { lotId: lot.id, stage: "crushed" as const }, feedMassG: number }),
      },
    ];
    await store.keepTrials(keptMill.id, both, someone);
  }
  await performOnPlan(store, { verb, which, text, number }, keptMill?.id ?? null, curve);
  if (lot !== null) await performOn(store, lot.id, { verb, which, text, number }, about, curve);
}

/** What cannot be is refused and leaves everything as it was. */
async function performOnMaterials(
  store: Store,
  { verb, which, text, number }: Deed,
  lots: readonly SavedLot[],
): Promise<void> {
  const [lot] = lots;
  const refused = (fault: unknown) => {
    if (!(fault instanceof DomainError)) throw fault;
  };
  if (verb === "comeFrom" && lot !== undefined) {
    const parents = [{ lotId: lot.id, stage: "milled" as const, share: 1, massG: number }];
    const entered = { name: text, material: text, bandId: null, note: "", dateMade: "2026-11-30" };
    await store.keepLot({ ...entered, densityGPerCm3: number, parents }, someone);
  }
  if (verb === "setState" && lot !== undefined)
    await store.setState(lot.id, { name: "on hold", why: text, lotId: null }, null, someone);
  if (!/Material/.test(verb)) return;
  const { materials } = await store.materials();
  const material = materials[which % Math.max(materials.length, 1)];
  if (material === undefined) return;
  const { id, version, ...now } = material;
  if (verb === "changeMaterial")
    await store
      .changeMaterial(id, { ...now, name: `${text}.`, densityGPerCm3: number }, version, someone)
      .catch(refused);
  if (verb === "mergeMaterials")
    await store.mergeMaterials({ id, intoId: materials[0]?.id ?? id }, null, someone).catch(refused);
  if (verb === "splitMaterial") {
    const lotIds = lots.filter((one) => one.materialId === id).map((one) => one.id);
    await store.splitMaterial(id, { name: `${text} split`, lotIds }, someone).catch(refused);
  }
}

async function performOnPlan(
  store: Store,
  { verb, which, text, number }: Deed,
  millId: number | null,
  curve: ReturnType<typeof sizeDistribution>,
): Promise<void> {
  const asMill = {
    name: text,
    ratedBar: which % 2 === 0 ? null : number,
    trials: [{ pressureBar: number, feedKgPerH: null, d50Um: number }],
    priors: { pressure: { mean: -number, sd: number }, feed: { mean: 0, sd: number } },
  };
  const asBalance = { name: text, feed: curve, fines: which % 2 === 0 ? null : curve, coarse: curve };
  if (verb === "keepInstrument") {
    const check = { day: "2026-11-30", referenceMaterial: text, quantity: "D50", unit: "µm" };
    const found = { stated: number, standardUncertainty: null, found: number };
    const use = { inUseFrom: null, inUseTo: which % 2 === 0 ? null : "2026-11-30", note: text };
    await store.keepEntry(
      "instrument",
      { name: text, technique: "", serial: text, ...use, checks: [{ ...check, ...found }] },
      someone,
    );
  }
  const [pressureMill] = /PressureMill/.test(verb) ? (await store.entries("pressureMill")).entries : [];
  const [balance] = /Balance/.test(verb) ? (await store.entries("balance")).entries : [];
  if (verb === "keepPressureMill") await store.keepEntry("pressureMill", asMill, someone);
  if (verb === "keepBalance") await store.keepEntry("balance", { ...asBalance, fineYield: null }, someone);
  if (verb === "changePressureMill" && pressureMill !== undefined)
    await store.changeEntry({ kind: "pressureMill", id: pressureMill.id }, asMill, null, someone);
  if (verb === "removePressureMill" && pressureMill !== undefined)
    await store.removeEntry("pressureMill", pressureMill.id, pressureMill.version, someone);
  if (verb === "changeBalance" && balance !== undefined)
    await store.changeEntry(
      { kind: "balance", id: balance.id },
      { ...asBalance, fineYield: 0.5 },
      balance.version,
      someone,
    );
  if (verb === "removeBalance" && balance !== undefined)
    await store.removeEntry("balance", balance.id, null, someone);
  if (millId === null) return;
  if (verb === "believe") {
    const belief = { priors: { ...usualPriors, noise: number }, excludedLots: [which] };
    const now = (await store.savedPriors()).savedPriors.find(
      (b) => b.millId === millId && b.materialId === undefined,
    );
    await store.keepPriors(
      { millId, materialId: null },
      which % 3 === 0 ? null : belief,
      now?.version ?? null,
      someone,
    );
  }
  const [trial] = verb === "asideTrial" ? (await store.trials(millId)).trials : [];
  if (verb === "asideTrial" && trial !== undefined)
    await store.changeTrial(
      trial.id,
      {
        name: trial.name,
        trial: trial.trial,
        curve: trial.curve,
        exclusionReason: text === "" ? null : text,
      },
      trial.version,
      someone,
    );
}

async function performOn(
  store: Store,
  lotId: number,
  { verb, which, text, number }: Deed,
  about: Parameters<Store["keepLot"]>[0],
  curve: ReturnType<typeof sizeDistribution>,
): Promise<void> {
  const stage = stages[which % stages.length] ?? "milled";
  const run = /Aside|How|freeze/i.test(verb) ? (await store.lot(lotId))?.measurements[0] : undefined;
  const [result] = verb === "removeResult" ? (await store.card(lotId)).results : [];
  if (verb === "changeLot") await store.changeLot(lotId, about, null, someone);
  if (verb === "removeLot")
    await store.removeLot(lotId, null, someone).catch((fault: unknown) => {
      // A parent stays while it has children.
      if (!(fault instanceof DomainError)) throw fault;
    });
  if (verb === "bringIn")
    await store.keepMeasurements(
      { lotId, stage },
      ["a", "b"].map((run) => ({ name: `${text}${run}`, file: null, distribution: curve })),
      {
        file: text === "" ? null : text,
        text: `${text}\n"${text}"`,
        options: {},
        ...(which % 2 === 0 ? {} : { portion: { name: text, drawn: text, massG: number, day: null } }),
      },
      someone,
    );
  if (verb === "setAside" && run !== undefined)
    await store.changeMeasurement(
      run.id,
      { name: run.name, stage, exclusionReason: text === "" ? null : text },
      null,
      someone,
    );
  if (verb === "noteHow" && run !== undefined)
    await store.noteHowMeasured(
      [run],
      {
        howMeasured: {
          dispersant: text,
          refractiveIndex: which % 3 === 0 ? null : 1.83,
          obscurationPercent: 100 * (number / 1e6),
        },
        ...(which % 4 === 0
          ? {}
          : { portion: which % 4 === 1 ? null : { name: text, drawn: "", massG: number, day: null } }),
      },
      someone,
    );
  if (verb === "noteSettings") {
    const settings = text === "" ? [] : [{ name: text, value: String(number), unit: "K" }];
    const now = (await store.card(lotId)).stages.find((s) => s.stage === stage);
    const noted = which % 2 === 0 ? {} : { date: "2026-11-29", massInG: number, massOutG: null };
    await store.keepStage(
      { lotId, stage },
      { settings, note: text, ...noted },
      now?.version ?? null,
      someone,
    );
  }
  if (verb === "keepResult")
    await store.keepResult(
      lotId,
      {
        stage: null,
        name: text,
        value: -number,
        unit: "g/cm³",
        uncertainty: null,
        note: text,
        ...(which % 2 === 0 ? {} : { date: "2026-11-30", method: `by ${text}` }),
      },
      someone,
    );
  if (verb === "keepBatch") {
    const entered = { afterMin: number, d50AfterUm: null, targetD50Um: number };
    const batch = { ...entered, rateExponent: 1, fragmentExponent: number };
    const now = (await store.batches()).batches.find((b) => b.lotId === lotId && b.stage === stage);
    await store.keepBatch({ lotId, stage }, which % 3 === 0 ? null : batch, now?.version ?? null, someone);
  }
  if (verb === "removeResult" && result !== undefined) await store.removeResult(result.id, null, someone);
  if (verb === "freeze" && run?.exclusionReason === null)
    await store.release(lotId, { stage: run.stage, name: text, note: "" }, someone);
}

/** Something of each kind to begin with, so that deleting finds what belongs to it. */
const beginning: readonly Deed[] = [
  "keepBand",
  "keepLot",
  "comeFrom",
  "setState",
  "bringIn",
  "noteHow",
  "noteSettings",
  "keepResult",
  "keepMill",
  "keepTrials",
  "believe",
  "keepBatch",
  "keepPressureMill",
  "keepBalance",
  "keepInstrument",
].map((verb) => ({ verb, which: 4, text: "first", number: 2 }));

const deeds = (most: number) => fc.array(deed, { minLength: 1, maxLength: most });
const rules = { numRuns: 12, seed: 20, endOnFailure: true };

describeStore("what is kept", (open) => {
  test("undo after any deeds returns the earlier copy byte for byte, and redo the later one", async () => {
    await fc.assert(
      fc.asyncProperty(deeds(8), deeds(12), async (first, then) => {
        const { store, done } = await open();
        try {
          for (const d of [...beginning, ...first]) await perform(store, d);
          // A change of its own, so that undo stops where this law began.
          await store.keepEntry("pair", { stage: "mark", geometricM2PerG: 1, betM2PerG: 1 }, someone);
          const mark = (await store.history()).undo?.seq ?? 0;
          const before = await store.copy();
          for (const d of then.filter((d) => d.verb !== "undo" && d.verb !== "redo")) await perform(store, d);
          const after = await store.copy();
          let steps = 0;
          for (; ((await store.history()).undo?.seq ?? 0) > mark; steps++)
            await store.step("undo", null, someone);
          expect(await store.copy()).toBe(before);
          for (; steps > 0; steps--) await store.step("redo", null, someone);
          expect(await store.copy()).toBe(after);
          expect((await store.verify()).faults).toEqual([]);
        } finally {
          await done();
        }
      }),
      rules,
    );
  }, 900_000);

  test("a copy, a folder of tables and a backup bring back the same, byte for byte", async () => {
    await fc.assert(
      fc.asyncProperty(deeds(20), async (all) => {
        const { store, done } = await open();
        const other = await open();
        try {
          for (const d of [...beginning, ...all]) await perform(store, d);
          const copy = await store.copy();
          const tables = await store.copyTables();
          await other.store.importCopy(copy, someone);
          expect(await other.store.copy()).toBe(copy);
          expect((await other.store.importTables(tables, someone)).seq).toBe(null);
          expect(await other.store.copyTables()).toEqual(tables);
          await other.store.step("undo", null, someone).catch(() => {});
          await other.store.importTables(tables, someone);
          expect(await other.store.copy()).toBe(copy);
          await backupComesBack(store, other.store);
          expect((await other.store.verify()).faults).toEqual([]);
        } finally {
          await done();
          await other.done();
        }
      }),
      rules,
    );
  }, 900_000);

  test("a backup comes back into a fresh store with its whole trail, and from there into another", async () => {
    const [a, b] = [await open(), await open()];
    await fc.assert(
      fc.asyncProperty(deeds(15), async (all) => {
        for (const d of all) await perform(a.store, d);
      }),
      { numRuns: 1, seed: 3 },
    );
    const { withTrail } = await b.store.restore(await backupOf(a.store), someone);
    expect(withTrail).toBe(true);
    expect(await b.store.copy()).toBe(await a.store.copy());
    expect(await b.store.changeHistory(null, 1000)).toEqual(await a.store.changeHistory(null, 1000));
    expect(await backupOf(b.store)).toBe(await backupOf(a.store));
    const cut = (await backupOf(a.store)).split("\n").slice(0, -2).join("\n");
    await expect(b.store.restore(cut, someone)).rejects.toThrow("cut off");
    await a.done();
    await b.done();
  });
});

async function backupOf(store: Store): Promise<string> {
  const lines: string[] = [];
  for await (const line of store.backup()) lines.push(line);
  return lines.join("");
}

async function backupComesBack(store: Store, other: Store): Promise<void> {
  await other.keepEntry("pair", { stage: "later", geometricM2PerG: 1, betM2PerG: 1 }, someone);
  const later = await other.copy();
  const { withTrail } = await other.restore(await backupOf(store), someone);
  expect(withTrail).toBe(false);
  expect(await other.copy()).toBe(await store.copy());
  await other.step("undo", null, someone);
  expect(await other.copy()).toBe(later);
}
