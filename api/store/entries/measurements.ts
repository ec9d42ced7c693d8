import type { Kysely } from "kysely";
import { sha256 } from "#api/records/checksum.ts";
import type { Bodies } from "#api/records/kinds.ts";
import type { Saved } from "#api/records/records.ts";
import { patched, withoutUndefined } from "#api/records/withoutUndefined.ts";
import type { Tables } from "#api/store/database/tables.ts";
import { entryOf } from "#api/store/ledger/entries.ts";
import { append, type ChangeContext, type Written } from "#api/store/ledger/ledger.ts";
import {
  measurementMetadata,
  mergedMetadata,
  type PartialMetadata,
  withStated,
} from "#distributions/measurementMetadata.ts";
import type { NamedMeasurement } from "#distributions/sizeDistribution.ts";
import type { ReadingOptions } from "#distributions/tables/text/readingOptions.ts";
import type { Stage } from "#model/lot/stages.ts";
import { stageOf } from "./stageOfLot.ts";

type Portion = NonNullable<Bodies["measurement"]["portion"]>;

/** A table that was brought in, kept as received beside what was read from it. */
export interface Received {
  readonly file: string | null;
  readonly text: string;
  /** As received; absent for what came as text. */
  readonly bytes?: Uint8Array;
  readonly options: ReadingOptions;
  /** The portion of the lot that its runs were measured on, where it was told. */
  readonly portion?: Portion | undefined;
}

/** The runs of lots, and the tables they came from. */
export function makeMeasurements(db: Kysely<Tables>, clock: () => Date) {
  const change = (occasion: ChangeContext, work: Parameters<typeof append>[3]) =>
    append(db, clock, occasion, work);
  return {
    /** All measurements of one table, or none. */
    keepMeasurements: (
      { lotId, stage: at }: { readonly lotId: number; readonly stage: Stage },
      measurements: readonly NamedMeasurement[],
      from: Received,
      occasion: ChangeContext,
    ): Promise<Written> =>
      change(occasion, async (writer) => {
        const { file, text, options, portion, bytes = Buffer.from(text) } = from;
        const isText = Buffer.from(text).equals(bytes);
        const keptAt = clock().toISOString();
        const lot = await writer.read("lot", lotId);
        const stage = await stageOf(writer.tx, lot.material, at);
        const importId = await writer.make("import", {
          lotId,
          file,
          text,
          sha256: sha256(bytes),
          ...(isText ? {} : { base64: Buffer.from(bytes).toString("base64") }),
          options,
          keptAt,
        });
        for (const { name, distribution, howMeasured: how = {} } of measurements)
          await writer.make("measurement", {
            lotId,
            importId,
            stage,
            name,
            file,
            distribution,
            exclusionReason: null,
            ...withStated(how),
            ...withoutUndefined({ portion }),
          });
        const count = measurements.length === 1 ? "a run" : `${measurements.length} runs`;
        return { what: `imported ${count} of ${stage} into lot "${lot.name}"` };
      }),

    changeMeasurement: (
      id: number,
      change_: Run & {
        readonly howMeasured?: PartialMetadata | undefined;
        readonly portion?: Portion | null | undefined;
      },
      expected: number | null,
      occasion: ChangeContext,
    ): Promise<Written> =>
      change(occasion, async (writer) => {
        const { howMeasured: entered, portion: drawn, ...given } = change_;
        const { lotId } = await writer.read("measurement", id);
        const { name, material } = await writer.read("lot", lotId);
        const run = { ...given, stage: await stageOf(writer.tx, material, given.stage) };
        const was = await writer.change(
          "measurement",
          id,
          expected,
          ({ howMeasured: how = {}, portion, ...now }) => ({
            ...now,
            ...run,
            ...withStated(entered === undefined ? how : measurementMetadata(entered)),
            ...withoutUndefined({ portion: patched(portion, drawn) }),
          }),
        );
        return { what: `${doneTo(was, run)} of lot "${name}"` };
      }),

    /** Lays what is told of how they were measured, and on which portion, over what these runs state; all of them, or none. */
    noteHowMeasured: (
      runs: readonly { readonly id: number; readonly version: number }[],
      entered: { readonly howMeasured: PartialMetadata; readonly portion?: Portion | null | undefined },
      occasion: ChangeContext,
    ): Promise<Written> =>
      change(occasion, async (writer) => {
        let lotId = 0;
        for (const { id, version } of runs)
          ({ lotId } = await writer.change("measurement", id, version, ({ portion, ...now }) => ({
            ...mergedMetadata(now, entered.howMeasured),
            ...withoutUndefined({ portion: patched(portion, entered.portion) }),
          })));
        const { name } = await writer.read("lot", lotId);
        if (entered.portion !== undefined && Object.keys(entered.howMeasured).length === 0)
          return { what: `${portionDone(entered.portion, runs.length)}, of lot "${name}"` };
        const what = runs.length === 1 ? "a run was" : `${runs.length} runs were`;
        return { what: `noted how ${what} measured, of lot "${name}"` };
      }),

    /** The table a run came from, as received. */
    importOf: async (measurementId: number): Promise<Saved<"import"> | null> => {
      const run = await entryOf(db, "measurement", measurementId);
      return run === null ? null : entryOf(db, "import", run.body.importId);
    },
  };
}

type Run = Pick<Bodies["measurement"], "name" | "stage" | "exclusionReason">;

function doneTo(was: Run, now: Run): string {
  const run = `run "${now.name}" (${now.stage})`;
  if (was.exclusionReason === null && now.exclusionReason !== null) return `excluded ${run}`;
  if (was.exclusionReason !== null && now.exclusionReason === null) return `included ${run} again`;
  if (was.stage !== now.stage) return `moved ${run} from ${was.stage}`;
  return was.name === now.name ? `changed ${run}` : `renamed run "${was.name}" to "${now.name}"`;
}

function portionDone(portion: Portion | null, runs: number): string {
  const of = runs === 1 ? "a run" : `${runs} runs`;
  return portion === null ? `took the portion off ${of}` : `noted portion "${portion.name}" of ${of}`;
}
