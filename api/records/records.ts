import type { MeasurementMetadata } from "#distributions/measurementMetadata.ts";
import type { NamedMeasurement, SizeDistribution } from "#distributions/sizeDistribution.ts";
import type { ReadingOptions } from "#distributions/tables/text/readingOptions.ts";
import type { Band } from "#model/band/band.ts";
import type { Stage } from "#model/lot/stages.ts";
import type { Mill } from "#model/mill/mill.ts";
import type { PressurePriors, PressureTrial } from "#model/mill/pressure/pressureRegression.ts";
import type { Priors } from "#model/mill/trials/priors.ts";
import type { Trial } from "#model/mill/trials/trial.ts";
import type { BetPair } from "#model/surface/bet.ts";

export interface NewLot {
  readonly name: string;
  readonly material: string;
  readonly densityGPerCm3: number;
  readonly bandId: number | null;
  readonly note: string;
}

/** What each kind of entry holds, as it is written down. Ids refer to entries of the kind they name. */
export interface Bodies {
  readonly band: Band;
  readonly mill: { readonly name: string; readonly mill: Mill };
  readonly lot: NewLot & { readonly keptAt: string };
  /** A table that was brought in. */
  readonly import: {
    readonly lotId: number;
    readonly file: string | null;
    readonly text: string;
    /** Of the bytes as received. */
    readonly sha256: string;
    /** The bytes as received, where they are not the text in UTF-8: a workbook, another encoding, a byte-order mark. */
    readonly base64?: string;
    readonly options: ReadingOptions;
    readonly keptAt: string;
  };
  readonly measurement: {
    readonly lotId: number;
    readonly importId: number;
    readonly stage: Stage;
    readonly name: string;
    readonly file: string | null;
    readonly distribution: SizeDistribution;
    /** Why the run was set aside; null while it counts. */
    readonly asideBecause: string | null;
    /** Absent where nothing is stated. */
    readonly howMeasured?: MeasurementMetadata;
  };
  readonly trial: {
    readonly millId: number;
    readonly name: string;
    readonly trial: Trial;
    /** The whole curve, where it was measured. */
    readonly curve: SizeDistribution | null;
    /** Why the trial was set aside; null while it counts. */
    readonly asideBecause: string | null;
  };
  readonly pair: BetPair;
  /** What is believed of a mill before any trial, and the lots whose re-firing does not speak for its next one. */
  readonly belief: { readonly millId: number } & NewPriors;
  readonly pressureMill: PressureMill;
  readonly balance: Balance;
  readonly batch: { readonly lotId: number; readonly stage: Stage } & NewBatch;
  /** How a stage of a lot was made: settings with their units, and a note. */
  readonly stage: {
    readonly lotId: number;
    readonly stage: Stage;
    readonly settings: readonly StageSetting[];
    readonly note: string;
  };
  /** What the lab found beside the sizes. */
  readonly result: NewResult & { readonly lotId: number };
  readonly frozen: ReleaseRecord;
}

export interface NewPriors {
  readonly priors: Priors;
  /** Numbers of lots; one that is no longer kept says nothing. */
  readonly leftOutLots: readonly number[];
}

/** A jet mill without a wheel, and its trials. */
export interface PressureMill {
  readonly name: string;
  /** Gauge, of vessel and hoses; null where it is not known, and then no pressure is suggested. */
  readonly ratedBar: number | null;
  readonly trials: readonly PressureTrial[];
  readonly priors: PressurePriors;
}

/** Three measured streams of a separator at one setting. */
export interface Balance {
  readonly name: string;
  readonly feed: SizeDistribution | null;
  readonly fines: SizeDistribution | null;
  readonly coarse: SizeDistribution | null;
  /** As weighed, share of the feed; null where it was not. */
  readonly fineYield: number | null;
}

/** A batch that started from a stage of a lot: what was found after a time, and what is assumed. */
export interface NewBatch {
  readonly afterMin: number | null;
  readonly d50AfterUm: number | null;
  readonly targetD50Um: number | null;
  readonly rateExponent: number;
  readonly fragmentExponent: number;
}

export interface StageSetting {
  readonly name: string;
  /** A number or a word, as noted. */
  readonly value: string;
  readonly unit: string;
}

export interface NewResult {
  /** The stage it was found on; null when it is about the lot as a whole. */
  readonly stage: Stage | null;
  /** What was measured, such as BET area or tap density. */
  readonly name: string;
  readonly value: number;
  readonly unit: string;
  /** Standard uncertainty in the same unit; null when it is not known. */
  readonly uncertainty: number | null;
  readonly note: string;
}

/** What an answer was computed from. */
export interface ReleaseInputs {
  readonly lotName: string;
  readonly stage: Stage;
  readonly densityGPerCm3: number;
  readonly runs: readonly NamedMeasurement[];
  readonly band: Band | null;
}

/** An answer as it was given: never changed, and computed again only beside it. */
export interface ReleaseRecord {
  readonly lotId: number;
  readonly name: string;
  readonly note: string;
  readonly frozenAt: string;
  readonly modelVersion: string;
  readonly inputs: ReleaseInputs;
  /** The answers to describe and, with a band, to check, as JSON. */
  readonly result: unknown;
  /** SHA-256 of model version, inputs and result. */
  readonly hash: string;
  /** The printed sheet as it was that day, byte for byte; null where none was kept. */
  readonly sheet: ReleasedReport | null;
}

export interface ReleasedReport {
  readonly html: string;
  /** SHA-256 of the html. */
  readonly sha256: string;
}

export type EntryKind = keyof Bodies;

/** An entry as it stands: its number, the event that last touched it, and what it holds. */
export interface Saved<K extends EntryKind> {
  readonly id: number;
  /** Number of the event that last touched the entry; If-Match takes it. */
  readonly version: number;
  readonly body: Bodies[K];
}

/** An entry that does not match its checksum, or cannot be read: reported, never shown as a number. */
export interface Damaged {
  readonly kind: EntryKind;
  readonly id: number;
  readonly message: string;
}

interface Numbered {
  readonly id: number;
  readonly version: number;
}

/** A lot as kept, with how many runs that count each of its stages has. */
export type SavedLot = Bodies["lot"] &
  Numbered & {
    readonly stages: readonly { readonly stage: Stage; readonly runs: number }[];
  };
export type SavedMeasurement = Omit<Bodies["measurement"], "importId"> & Numbered;
export type SavedBand = Numbered & { readonly band: Band };
export type SavedMill = Bodies["mill"] & Numbered;
export type SavedTrial = Bodies["trial"] & Numbered;
export type SavedPair = BetPair & Numbered;
export type SavedPriors = Bodies["belief"] & Numbered;
export type SavedPressureMill = PressureMill & Numbered;
export type SavedBalance = Balance & Numbered;
export type SavedBatch = Bodies["batch"] & Numbered;
export type SavedStageRecord = Bodies["stage"] & Numbered;
export type SavedResult = Bodies["result"] & Numbered;
/** A frozen answer in a list: without its inputs and result. */
export type ListedReleaseRecord = Pick<
  ReleaseRecord,
  "lotId" | "name" | "note" | "frozenAt" | "modelVersion" | "hash"
> &
  Numbered & { readonly stage: Stage; readonly sentence: string; readonly hasSheet: boolean };

/** A frozen answer, and the same computed today from the same inputs. */
export interface ShownReleaseRecord {
  readonly frozen: ReleaseRecord & Numbered;
  readonly again: {
    readonly modelVersion: string;
    readonly result: unknown;
    /** Where today's result is another; empty when it is the same. */
    readonly differences: readonly {
      readonly field: string;
      readonly frozen: unknown;
      readonly now: unknown;
    }[];
  };
  /** What of the inputs is no longer as it was: the entry is stale; empty when all is as it was. */
  readonly changedInputs: readonly string[];
}

/** An event of the record, without what it changed. */
export interface ChangeEvent {
  readonly seq: number;
  readonly at: string;
  /** start: the demo or an older store taken over, which cannot be undone. */
  readonly kind: "start" | "change" | "undo" | "redo";
  readonly what: string;
  readonly by: string;
  readonly why: string;
  /** For undo and redo: the change that was undone or redone. */
  readonly of: number | null;
  /** undone: out of effect and may be redone; passed: undone, and another change came since. */
  readonly standing: "done" | "undone" | "passed";
}

/** One entry an event touched: null before means made, null after means deleted. */
export interface ChangeOfEntry {
  readonly kind: EntryKind;
  readonly id: number;
  readonly before: unknown;
  readonly after: unknown;
}

/** What undo and redo would do next. */
export interface LotHistoryRecords {
  readonly undo: ChangeEvent | null;
  readonly redo: ChangeEvent | null;
}
