import { withoutUndefined } from "#api/records/withoutUndefined.ts";
import { bandFromRuns } from "#model/band/fromReference.ts";
import { type Given, numberOption, textOption } from "./options.ts";
import type { Answered } from "./powder.ts";

/** A band about a reference's runs. Its body is BAND.json, with the problems of reading beside it. */
export function askBand({ measurements, problems }: Answered, given: Given) {
  const band = bandFromRuns(
    measurements,
    {
      name: textOption(given, "name") ?? "band from a reference",
      stage: textOption(given, "stage") ?? "re-fired",
      densityGPerCm3: numberOption(given, "density") ?? null,
    },
    withoutUndefined({
      coverage: numberOption(given, "coverage", { above: 0, below: 1 }),
      tolerancePercent: numberOption(given, "tolerance-percent"),
    }),
  );
  return { ...band, problems };
}
