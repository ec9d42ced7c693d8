import type { Measured } from "#distributions/measured.ts";
import type { Band } from "#model/band/band.ts";
import type { Mill } from "#model/mill/mill.ts";
import type { Trial } from "#model/mill/trials/trial.ts";
import type { Stage } from "#model/stages.ts";
import type { BetPair } from "#model/surface/bet.ts";

export interface NewLot {
  readonly name: string;
  readonly material: string;
  readonly densityGPerCm3: number;
  readonly bandId: number | null;
  readonly note: string;
}

/** A lot as kept, with how many measurements each of its stages has. */
export interface KeptLot extends NewLot {
  readonly id: number;
  readonly keptAt: string;
  readonly stages: readonly { readonly stage: Stage; readonly runs: number }[];
}

export interface KeptMeasurement {
  readonly id: number;
  readonly lotId: number;
  readonly stage: Stage;
  readonly name: string;
  readonly file: string | null;
  readonly distribution: Measured;
}

export interface KeptBand {
  readonly id: number;
  readonly band: Band;
}

export interface KeptMill {
  readonly id: number;
  readonly name: string;
  readonly mill: Mill;
}

export interface KeptTrial {
  readonly id: number;
  readonly millId: number;
  readonly name: string;
  readonly trial: Trial;
  /** The whole curve, where it was measured. */
  readonly curve: Measured | null;
}

export interface KeptPair extends BetPair {
  readonly id: number;
}
