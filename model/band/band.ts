import type { Interval } from "#model/numbers/interval.ts";
import type { Envelope } from "./envelope.ts";

export type DecisionRule = "simple" | "two-sided" | "guarded";

export const decisionRules: readonly DecisionRule[] = ["simple", "two-sided", "guarded"];

export const envelopeUses = ["judged", "shown"] as const;
export type EnvelopeUse = (typeof envelopeUses)[number];

export type Verdict = "in band" | "on the edge" | "out of band" | "too few runs";

/** One limit of a band. `d10Um`, `d50Um`, any `d<percent>Um`, or one of the named ones. */
export interface BandRow {
  readonly limit: string;
  /** For belowShare: the size the share lies below. */
  readonly sizeUm?: number;
  readonly low: number | null;
  readonly high: number | null;
  /** Agreed run-to-run standard deviation, for fewer than three runs. */
  readonly repeatabilitySd?: number;
  /** How the limits came about, in words. */
  readonly source?: string;
}

/** A specification of the BET area; null is no limit. */
export interface BetLimits {
  readonly low: number | null;
  readonly high: number | null;
}

/** A target band: rows of limits, an envelope of the undersize curve, or both. The dashboard reads and writes the same. */
export interface Band {
  readonly version: 1;
  readonly name: string;
  readonly stage: string;
  readonly densityGPerCm3: number | null;
  readonly rule: DecisionRule;
  readonly rows: readonly BandRow[];
  readonly envelope: Envelope | null;
  /** Whether the envelope is judged or only drawn; absent, it is judged. */
  readonly envelopeUse?: EnvelopeUse;
  /** Specification of the BET area, which is judged ahead and when it comes back, never as a part of the verdict on sizes. */
  readonly betM2PerG?: BetLimits;
  /** How the envelope came about, in words. */
  readonly source?: string;
  /** The instrument its reference was measured on; absent where it is tied to none. */
  readonly instrument?: string;
  /** The drum of the reference powder it was drawn about. */
  readonly referenceDrum?: string;
}

export interface RowCheck {
  readonly limit: string;
  readonly sizeUm?: number;
  readonly value: number | null;
  readonly low: number | null;
  readonly high: number | null;
  readonly interval: Interval | null;
  readonly verdict: Verdict;
  /** Chance of being in band, from its own runs and the pooled scatter, and by the same draws as that of all rows; null where it is not known. */
  readonly probability: number | null;
}

/** A stretch of sizes where the mean curve leaves the envelope. */
export interface Outside {
  readonly fromUm: number;
  readonly toUm: number;
  /** The largest excess there: above the high curve positive, below the low one negative. */
  readonly points: number;
  /** Of the runs at the size of that excess: on the edge where they cannot tell it from none. */
  readonly verdict: Verdict;
  /** Where it begins or ends only because the envelope is not judged beyond; absent where the curve comes back inside. */
  readonly cutAt?: readonly ("from" | "to")[];
}

/** The envelope that a verdict may ask for; null where there is none, or it is only drawn. */
export function judgedEnvelope({
  envelope,
  envelopeUse = "judged",
}: Pick<Band, "envelope" | "envelopeUse">): Envelope | null {
  return envelopeUse === "judged" ? envelope : null;
}
