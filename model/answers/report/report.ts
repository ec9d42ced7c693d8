import type { NamedMeasurement } from "#distributions/sizeDistribution.ts";
import type { Band } from "#model/band/band.ts";
import type { MeasurandCheck } from "#model/release/readChecks.ts";
import type { PredictedBet } from "#model/surface/predictedBet.ts";
import type { ReportLevel } from "./reportLevels.ts";

/** A result that was measured beside the sizes. */
export interface MeasuredResult {
  readonly name: string;
  readonly value: number;
  readonly unit: string;
  /** Standard, in the same unit; null where it is not known. */
  readonly uncertainty: number | null;
  readonly method?: string;
}

/** What a report is about. */
export interface ReportQuestion {
  readonly lotName: string;
  readonly material: string;
  readonly stage: string;
  readonly densityGPerCm3: number;
  readonly runs: readonly NamedMeasurement[];
  /** Mean curves of the lot's other stages are drawn beside it. */
  readonly others: readonly {
    readonly stage: string;
    readonly runs: readonly NamedMeasurement[];
    readonly massG?: number;
  }[];
  /** The lot's stages in the order of its process with what they are called; left out where both are the usual ones. */
  readonly line?: readonly { readonly stage: string; readonly name: string }[];
  /** Grams of powder at the stage, where they were noted. */
  readonly massG?: number;
  /** The runs of the kept lots of the same material at the same stage, oldest first. */
  readonly kept?: readonly (readonly NamedMeasurement[])[];
  /** Whose lots those are, in words: "five lots of ceria, re-fired"; absent where no lot was asked. */
  readonly ground?: string;
  /** How many of the pairs behind the BET area follow from those lots, and how many were typed. */
  readonly pairsFrom?: { readonly lots: number; readonly typed: number };
  /** Of the instrument, against reference materials. */
  readonly checks?: readonly MeasurandCheck[];
  readonly band: Band | null;
  /** The BET area to expect, or null where no area is known. */
  readonly ahead: PredictedBet | null;
  readonly report: ReportLevel;
  /** For a customer's report: who issues it and for whom. */
  readonly parties?: { readonly issuer?: string; readonly customer?: string };
  /** For a customer's report: when the lot was made and when its runs were measured, as 2026-11-30. */
  readonly days?: { readonly made?: string; readonly measured?: string };
  /** For a customer's report: what else was measured on this stage. */
  readonly measured?: readonly MeasuredResult[];
}

/** A table with its heading row. */
export interface ReportTable {
  readonly title: string;
  readonly heading: readonly string[];
  readonly rows: readonly (readonly string[])[];
  /** What short names in it stand for; absent where there are none. */
  readonly foot?: string;
}

/** Everything in a report but the hash, the version and the date, which the server adds. */
export interface Report {
  readonly title: string;
  readonly about: string;
  readonly verdict: string;
  readonly rule: string;
  readonly svg: string;
  /** The fines balance as bars, in the full report of a lot whose other stages are known; else null. */
  readonly ledger: {
    readonly title: string;
    /** How many steps it shows side by side. */
    readonly steps: number;
    readonly sentence: string;
    readonly svg: string;
  } | null;
  readonly tables: readonly ReportTable[];
  /** Titled paragraphs: method, fit, uncertainty, cautions. */
  readonly notes: readonly { readonly title: string; readonly lines: readonly string[] }[];
  /** Whose names, days and signatures there is room for; absent where nobody signs. */
  readonly signatures?: readonly string[];
}
