import type { Stage } from "#model/lot/stages.ts";
import type { Bodies, EntryKind } from "./kinds.ts";
import type { SignatureState } from "./signature.ts";

/** What is told of an entry; the server adds what else it holds. */
export interface NewLot extends Pick<Bodies["lot"], "name" | "bandId" | "note"> {
  /** Left out, it stays as it is; a new lot has none. */
  readonly material?: string | undefined;
  /** Wins over the name. */
  readonly materialId?: number | null | undefined;
  /** Left out, the material's holds. */
  readonly densityGPerCm3?: number | undefined;
  /** Left out, they stay as they are. */
  readonly dateMade?: string | null | undefined;
  readonly parents?: Bodies["lot"]["parents"] | undefined;
  readonly exclusionReason?: string | null | undefined;
}
export type NewMaterial = Bodies["material"];
export type NewPriors = Omit<Bodies["belief"], "millId" | "materialId">;
export type NewBatch = Omit<Bodies["batch"], "lotId" | "stage">;
export type NewResult = WithOptional<Omit<Bodies["result"], "lotId">, "date" | "method">;
export type NewStageRecord = WithOptional<
  Omit<Bodies["stage"], "lotId" | "stage">,
  "kind" | "date" | "massInG" | "massOutG" | "weighed"
>;
export type NewTrial = WithOptional<
  Omit<Bodies["trial"], "millId">,
  "materialId" | "feed" | "sample" | "feedMassG" | "productMassG" | "settings"
>;
/** Left out of a change, these stay as they are; null takes them away. */
type WithOptional<Body, Fields extends keyof Body> = Omit<Body, Fields> & {
  readonly [F in Fields]?: Exclude<Body[F], undefined> | null | undefined;
};
export type StageSetting = Bodies["stage"]["settings"][number];
export type PressureMill = Bodies["pressureMill"];
export type Balance = Bodies["balance"];
export type ReleaseRecord = Bodies["frozen"];
export type ReleaseInputs = ReleaseRecord["inputs"];
export type ReleasedReport = NonNullable<ReleaseRecord["sheet"]>;

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

export interface Numbered {
  readonly id: number;
  readonly version: number;
}

export type LotState = NonNullable<Bodies["lot"]["state"]>;
/** A lot as kept, with how many runs that count each of its stages has. */
export type SavedLot = Omit<Bodies["lot"], "dateMade" | "parents" | "state" | "exclusionReason"> &
  Numbered & {
    readonly stages: readonly { readonly stage: Stage; readonly runs: number; readonly name?: string }[];
    /** Null where it names no material. */
    readonly materialId: number | null;
    readonly dateMade: string | null;
    readonly parents: NonNullable<Bodies["lot"]["parents"]>;
    readonly state: LotState;
    /** Why it teaches nothing; null while it counts. */
    readonly exclusionReason: string | null;
  };
export type SavedMaterial = Bodies["material"] & Numbered;
export type SavedMeasurement = Omit<Bodies["measurement"], "importId"> & Numbered;
export type SavedBand = Numbered & { readonly band: Bodies["band"] };
export type SavedMill = Bodies["mill"] & Numbered;
export type SavedTrial = Bodies["trial"] & Numbered;
export type SavedPair = Bodies["pair"] & Numbered;
export type SavedPhotograph = Bodies["photograph"] & Numbered;
export type SavedPriors = Bodies["belief"] & Numbered;
export type SavedPressureMill = PressureMill & Numbered;
export type SavedBalance = Balance & Numbered;
export type SavedBatch = Bodies["batch"] & Numbered;
export type SavedStageRecord = Bodies["stage"] & Numbered;
export type SavedResult = Bodies["result"] & Numbered;
/** A frozen answer in a list: without its inputs and result. */
export type ListedReleaseRecord = Pick<
  ReleaseRecord,
  "lotId" | "name" | "note" | "releasedAt" | "modelVersion" | "hash"
> &
  Numbered & {
    readonly stage: Stage;
    readonly sentence: string;
    readonly hasSheet: boolean;
    readonly signatureState: SignatureState;
  };

/** A frozen answer, and the same computed today from the same inputs. */
export interface ShownReleaseRecord {
  readonly released: ReleaseRecord & Numbered;
  readonly signatureState: SignatureState;
  readonly again: {
    readonly modelVersion: string;
    readonly result: unknown;
    /** Where today's result is another; empty when it is the same. */
    readonly differences: readonly {
      readonly field: string;
      readonly released: unknown;
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
export interface NextUndoRedo {
  readonly undo: ChangeEvent | null;
  readonly redo: ChangeEvent | null;
}
