import type { NamedMeasurement } from "#distributions/sizeDistribution.ts";
import type { Band } from "./band.ts";

/** What a band may be tied to, by how a run says it of itself. */
const ties = [
  { field: "instrument", name: "instrument" },
  { field: "referenceDrum", name: "reference drum (container of reference powder)" },
] as const;

/**
 * Where runs state another instrument or reference drum than the band is tied to, in plain sentences; empty where they
 * agree or do not say. Instruments differ by more than one of them scatters, so a verdict across them is worth less.
 */
export function otherOrigin(runs: readonly Pick<NamedMeasurement, "howMeasured">[], band: Band): string[] {
  return ties.flatMap(({ field, name }) => {
    const tied = band[field];
    if (tied === undefined) return [];
    const stated = runs.flatMap((run) => run.howMeasured?.[field] ?? []);
    const others = [...new Set(stated.filter((text) => !isSame(text, tied)))];
    if (others.length === 0) return [];
    const whole = stated.length === runs.length && stated.every((t) => !isSame(t, tied));
    const who = whole ? "the lot was" : "some of its runs were";
    return [
      `The band applies to the ${name} ${tied}, but ${who} measured ${field === "instrument" ? "on" : "with"} ${others.join(" and ")}: part of the difference may come from the measurement.`,
    ];
  });
}

/** What all the runs state of it, for a band drawn about them. */
export function originOf(
  runs: readonly Pick<NamedMeasurement, "howMeasured">[],
): Pick<Band, "instrument" | "referenceDrum"> {
  const [first] = runs;
  const shared = (field: "instrument" | "referenceDrum") => {
    const text = first?.howMeasured?.[field];
    return text !== undefined && runs.every((run) => isSame(run.howMeasured?.[field] ?? "", text))
      ? text
      : null;
  };
  const [instrument, referenceDrum] = [shared("instrument"), shared("referenceDrum")];
  return {
    ...(instrument === null ? {} : { instrument }),
    ...(referenceDrum === null ? {} : { referenceDrum }),
  };
}

function isSame(a: string, b: string): boolean {
  const plain = (text: string) => text.trim().replace(/\s+/g, " ").toLowerCase();
  return plain(a) === plain(b);
}
