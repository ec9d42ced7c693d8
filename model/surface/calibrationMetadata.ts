import type { MeasurementMetadata } from "#distributions/measurementMetadata.ts";
import type { CalibrationMetadata } from "./stale.ts";

/** The setting of a stage that says which dopant its powder has. */
export const dopantSetting = "dopant class";

/**
 * How a powder was measured, as far as the pairs hang on it: what its runs state alike, and the dopant class among the
 * settings of its stage. What is not stated, or not by all runs alike, is left out.
 */
export function calibrationMetadata(
  runs: readonly { readonly howMeasured?: MeasurementMetadata }[],
  settings: readonly { readonly name: string; readonly value: string }[],
): CalibrationMetadata {
  const alike = (field: "instrument" | "opticalModel") => {
    const stated = new Set(runs.map((run) => run.howMeasured?.[field]?.trim() ?? ""));
    const [first = ""] = stated;
    return stated.size === 1 ? first : "";
  };
  const dopant = settings.find((s) => s.name.trim().toLowerCase() === dopantSetting)?.value.trim() ?? "";
  const [instrument, optics] = [alike("instrument"), alike("opticalModel")];
  return {
    ...(instrument === "" ? {} : { instrument }),
    ...(optics === "" ? {} : { optics }),
    ...(dopant === "" ? {} : { dopantClass: dopant }),
  };
}
