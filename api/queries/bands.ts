import { type Given, numberOption, optionsOf } from "#api/contract/options.ts";
import { verbs } from "#api/contract/verbs.ts";
import { bandFromRuns } from "#model/band/fromReference.ts";
import type { Answered } from "./powder.ts";

/** A band about a reference's runs. Its body is BAND.json, with the problems of reading beside it. */
export function askBand({ measurements, problems }: Answered, given: Given) {
  const {
    from: _,
    name = "band from a reference",
    stage = "re-fired",
    ...widening
  } = optionsOf(given, verbs.band);
  const band = bandFromRuns(
    measurements,
    {
      name,
      stage,
      densityGPerCm3: numberOption(given, "density") ?? null,
    },
    widening,
  );
  return { ...band, problems };
}
