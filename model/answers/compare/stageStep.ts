import type { NeckedShare } from "#model/compare/joining.ts";
import type { StageChange } from "#model/compare/step.ts";
import type { Humps } from "#model/lot/humps.ts";

/** What one step of the process did to the powder, in numbers and in a sentence. */
export interface StageStep extends StageChange {
  readonly from: string;
  readonly to: string;
  readonly humps: {
    readonly before: Humps["verdict"] | null;
    readonly after: Humps["verdict"] | null;
    readonly change: "gained" | "lost" | "same" | "not known";
  };
  /** Only for a step to re-fired powder. */
  readonly joining: NeckedShare | null;
  readonly sentence: string;
}
