import { problem } from "#distributions/problem.ts";
import { parseBand } from "#model/band/bandFile.ts";

/**
 * A band as a request sends it: what stands in BAND.json, or a saved one as it was answered, with its number. One that
 * limits nothing is refused: any lot would be in it.
 */
export function bandSent(value: unknown): ReturnType<typeof parseBand> {
  const given = isObject(value) && "id" in value && isObject(value["band"]) ? value["band"] : value;
  if (isObject(given) && !limiting.some((name) => name in given)) {
    const refused = problem("refused", "The band limits nothing: it has neither rows nor an envelope.", {
      found: Object.keys(given).join(", "),
      expected: "a band as in BAND.json, or a saved one as /api/bands answers it",
    });
    return { band: null, problems: [refused] };
  }
  return parseBand(given, null);
}

const limiting = ["rows", "envelope", "betM2PerG"];

const isObject = (value: unknown): value is Readonly<Record<string, unknown>> =>
  typeof value === "object" && value !== null && !Array.isArray(value);
