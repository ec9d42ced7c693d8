import { UnusableInput } from "#api/faults.ts";
import { priorsSchema } from "#api/records/priors.ts";
import { type Priors, usualPriors } from "#model/mill/trials/priors.ts";

/** What is believed before any trial, as PRIORS.json; what is left out is the usual. @throws UnusableInput */
export function parsePriors(value: unknown): Priors {
  const found = priorsSchema.partial().strict().safeParse(value);
  if (!found.success)
    throw new UnusableInput(
      `The priors cannot be used: ${found.error.issues.map((i) => `${i.path.join(".") || "the file"}: ${i.message}`).join("; ")}.`,
      JSON.stringify(value) ?? "nothing",
      JSON.stringify(usualPriors),
    );
  const { data } = found;
  return {
    medianOverCut: data.medianOverCut ?? usualPriors.medianOverCut,
    medianSd: data.medianSd ?? usualPriors.medianSd,
    speed: data.speed ?? usualPriors.speed,
    flow: data.flow ?? usualPriors.flow,
    feed: data.feed ?? usualPriors.feed,
    noise: data.noise ?? usualPriors.noise,
    width: data.width ?? usualPriors.width,
    widthSlopeSd: data.widthSlopeSd ?? usualPriors.widthSlopeSd,
    circuit: data.circuit ?? usualPriors.circuit,
  };
}

export function readPriors(text: string): Priors {
  let value: unknown;
  try {
    value = JSON.parse(text);
  } catch {
    throw new UnusableInput(
      "The file of priors is not valid JSON.",
      text.slice(0, 40),
      JSON.stringify(usualPriors),
    );
  }
  return parsePriors(value);
}
