import type { Kysely } from "kysely";
import type { Bodies } from "#api/records/kinds.ts";
import type { NewLot } from "#api/records/records.ts";
import { withoutUndefined } from "#api/records/withoutUndefined.ts";
import type { Tables } from "#api/store/database/tables.ts";
import { entriesOf } from "#api/store/ledger/entries.ts";
import type { EventWriter } from "#api/store/ledger/eventWriter.ts";
import { append, type ChangeContext, type Written } from "#api/store/ledger/ledger.ts";
import type { LabRow, NotedStage } from "#model/intake/labRow.ts";
import type { NotedLot } from "#model/intake/labTableText.ts";
import { isSameMaterial } from "#model/lot/material.ts";
import { counted } from "#model/words/wording.ts";
import { type FiledTable, keepTables, lotsNamed } from "./intake.ts";
import { lotToKeep } from "./lotToKeep.ts";
import { stageOf } from "./stageOfLot.ts";

/** What a row notes of a lot that is there, or of a new one by its place in the list of new lots. */
export interface RowToKeep extends Pick<LabRow, "dateMade" | "stages" | "results"> {
  readonly lot: { readonly id: number } | { readonly newLot: number };
}

/** What a table of the lab's own brings at once: new lots, what its rows note, and the runs of curve files beside it. */
export interface LabTableToKeep {
  readonly lots: readonly NewLot[];
  readonly rows: readonly RowToKeep[];
  readonly tables: readonly FiledTable[];
}

/** The lab's own tables: kept as one change, and copied out again. */
export function makeLabTables(db: Kysely<Tables>, clock: () => Date) {
  return {
    /**
     * All that a table brings, as one change: all of it or nothing. Settings and masses take the place of those of the same
     * name and unit; a result that is there already, with its day, is not noted twice.
     */
    keepLabTable: ({ lots, rows, tables }: LabTableToKeep, occasion: ChangeContext): Promise<Written> =>
      append(db, clock, occasion, async (writer) => {
        const keptAt = clock().toISOString();
        const ofLots = byLot(rows);
        const made: number[] = [];
        for (const [i, lot] of lots.entries()) {
          const dateMade =
            ofLots.find(({ lot: at }) => "newLot" in at && at.newLot === i)?.dateMade ?? undefined;
          const entered = { ...lot, ...withoutUndefined({ dateMade }) };
          const body = await lotToKeep(writer, entered, { id: await writer.nextId("lot"), was: null });
          made.push(await writer.make("lot", { ...body, keptAt }));
        }
        const names = new Map(lots.map((lot, i) => [made[i], lot.name]));
        for (const { lot, ...noted } of ofLots) {
          const lotId = "id" in lot ? lot.id : made[lot.newLot];
          if (lotId === undefined) throw new Error("A row names a new lot that is not in the list.");
          const body = "id" in lot ? await dated(writer, lotId, noted.dateMade) : lots[lot.newLot];
          names.set(lotId, body?.name ?? "");
          await keepNoted(writer, { lotId, material: body?.material ?? "" }, noted);
        }
        await keepTables(writer, { tables, made, names, keptAt });
        return {
          what: `noted ${counted(rows.length, "row")} of a table of ${lotsNamed([...names.values()])}`,
        };
      }),

    /** What is noted of the lots of a material, or of all, in the order they were saved. */
    async notedLots(material: string | null): Promise<NotedLot[]> {
      const lots = (await entriesOf(db, "lot")).kept.filter(
        ({ body }) => material === null || isSameMaterial(body.material, material),
      );
      const noted: NotedLot[] = [];
      for (const { id, body } of lots) {
        const stages = (await entriesOf(db, "stage", id)).kept;
        const results = (await entriesOf(db, "result", id)).kept;
        noted.push({
          name: body.name,
          material: body.material,
          dateMade: body.dateMade ?? null,
          stages: stages.map(({ body: { stage, settings, note, date, massInG, massOutG } }) => ({
            stage,
            settings,
            note,
            date: date ?? null,
            massInG: massInG ?? null,
            massOutG: massOutG ?? null,
          })),
          results: results.map(({ body: { stage, name, value, unit, uncertainty, date } }) => ({
            stage,
            name,
            value,
            unit,
            uncertainty,
            date: date ?? null,
          })),
        });
      }
      return noted;
    },
  };
}

/** What all rows of each lot note together: every entry is written once in a change. A later row stands over an earlier one. */
function byLot(rows: readonly RowToKeep[]): readonly RowToKeep[] {
  const merged = new Map<string, RowToKeep>();
  for (const row of rows) {
    const key = JSON.stringify(row.lot);
    const before = merged.get(key);
    merged.set(
      key,
      before === undefined
        ? row
        : {
            lot: row.lot,
            dateMade: row.dateMade ?? before.dateMade,
            stages: row.stages.reduce(withStage, before.stages),
            results: [...before.results, ...row.results],
          },
    );
  }
  return [...merged.values()];
}

function withStage(noted: readonly NotedStage[], more: NotedStage): readonly NotedStage[] {
  const before = noted.find(({ stage }) => stage === more.stage);
  if (before === undefined) return [...noted, more];
  const kept = before.settings.filter((old) => !more.settings.some((one) => isSameField(one, old)));
  const both = {
    stage: more.stage,
    settings: [...kept, ...more.settings],
    note: more.note === "" ? before.note : more.note,
    date: more.date ?? before.date,
    massInG: more.massInG ?? before.massInG,
    massOutG: more.massOutG ?? before.massOutG,
  };
  return noted.map((one) => (one === before ? both : one));
}

type Field = Pick<NotedStage["settings"][number], "name" | "unit">;
const isSameField = (a: Field, b: Field) => a.name === b.name && a.unit === b.unit;

/** A lot that is there, with the day it was made. */
async function dated(writer: EventWriter, lotId: number, dateMade: string | null): Promise<Bodies["lot"]> {
  const lot = await writer.read("lot", lotId);
  if (dateMade !== null && lot.dateMade !== dateMade)
    await writer.change("lot", lotId, null, (now) => ({ ...now, dateMade }));
  return lot;
}

async function keepNoted(
  writer: EventWriter,
  { lotId, material }: { readonly lotId: number; readonly material: string },
  { stages, results }: Pick<RowToKeep, "stages" | "results">,
): Promise<void> {
  for (const noted of stages)
    await keepNotedStage(writer, lotId, { ...noted, stage: await stageOf(writer.tx, material, noted.stage) });
  const known = new Set(
    (await entriesOf(writer.tx, "result", lotId)).kept.map(({ body }) => resultKey(body)),
  );
  for (const { date, ...result } of results) {
    const stage = result.stage === null ? null : await stageOf(writer.tx, material, result.stage);
    const body = { lotId, ...result, stage, note: "", ...withoutUndefined({ date: date ?? undefined }) };
    if (!known.has(resultKey(body))) await writer.make("result", body);
  }
}

async function keepNotedStage(writer: EventWriter, lotId: number, noted: NotedStage): Promise<void> {
  const { stage, settings, note, date, massInG, massOutG } = noted;
  const now = (await entriesOf(writer.tx, "stage", lotId)).kept.find(({ body }) => body.stage === stage);
  const told = withoutUndefined({
    date: date ?? undefined,
    massInG: massInG ?? undefined,
    massOutG: massOutG ?? undefined,
  });
  if (now === undefined) {
    await writer.make("stage", { lotId, stage, settings, note, ...told });
    return;
  }
  const others = now.body.settings.filter((old) => !settings.some((one) => isSameField(one, old)));
  const body = {
    ...now.body,
    ...told,
    settings: [...others, ...settings],
    note: note === "" ? now.body.note : note,
  };
  const inOrder = (all: NotedStage["settings"]) => all.map((one) => JSON.stringify(one)).toSorted();
  const isSame =
    JSON.stringify({ ...body, settings: inOrder(body.settings) }) ===
    JSON.stringify({ ...now.body, settings: inOrder(now.body.settings) });
  if (!isSame) await writer.change("stage", now.id, null, () => body);
}

const resultKey = ({
  stage,
  name,
  value,
  unit,
  date,
}: Pick<Bodies["result"], "stage" | "name" | "value" | "unit" | "date">) =>
  JSON.stringify([stage, name, value, unit, date ?? null]);
