import { DomainError } from "#distributions/domainError.ts";
import {
  isTextField,
  type MeasurementMetadata,
  measurementMetadata,
  statedFields,
  withStated,
} from "#distributions/measurementMetadata.ts";
import { type Problem, problem } from "#distributions/problem.ts";
import {
  inClassRules,
  type NamedMeasurement,
  quantities,
  sizeDistribution,
} from "#distributions/sizeDistribution.ts";

import { type MeasurementOutcome, outcomeOf } from "#distributions/tables/values/outcomes.ts";

const schema = 1;

/** Measurements as JSON with the version of its schema; numbers in full, µm and fractions; null where nothing is stated. */
export function jsonCopy(measurements: readonly NamedMeasurement[]): string {
  const entries = measurements.map(({ howMeasured: how = {}, ...rest }) => ({
    ...rest,
    howMeasured: Object.fromEntries(statedFields.map(({ field }) => [field, how[field] ?? null])),
  }));
  return `${JSON.stringify({ fineband: "measurements", schema, measurements: entries }, null, 2)}\n`;
}

/** Measurements out of such a copy; null for a text that is none. One that is damaged never loses the others. */
export function readJsonCopy(
  text: string,
  file: string | null,
): { measurements: NamedMeasurement[]; problems: Problem[]; outcomes: MeasurementOutcome[] } | null {
  if (!/^\s*\{\s*"fineband"/.test(text)) return null;
  const copy = parsed(text);
  const list = copy["measurements"];
  if (copy["schema"] !== schema || !Array.isArray(list)) {
    const found = copy["schema"] === undefined ? "no schema" : `schema ${String(copy["schema"])}`;
    return {
      measurements: [],
      problems: [
        problem(
          "refused",
          `The copy is damaged or of another version. Save it again from the Fineband that wrote it.`,
          { file, found, expected: `schema ${schema}` },
        ),
      ],
      outcomes: [],
    };
  }
  const measurements: NamedMeasurement[] = [];
  const problems: Problem[] = [];
  const outcomes: MeasurementOutcome[] = [];
  for (const [i, entry] of list.entries()) {
    const one = measurementIn(entry, file);
    if ("why" in one) {
      const damaged = problem(
        "refused",
        `Measurement ${i + 1} of the copy is damaged: ${one.why}. Save the copy again; the others were read.`,
        { file, found: one.why, expected: "a measurement as it was saved" },
      );
      problems.push(damaged);
      outcomes.push(outcomeOf(`measurement ${i + 1}`, { isRead: false, said: [damaged] }));
    } else {
      measurements.push(one);
      outcomes.push(outcomeOf(one.name, { isRead: true }));
    }
  }
  return { measurements, problems, outcomes };
}

type JsonFields = Readonly<Record<string, unknown>>;

function parsed(text: string): JsonFields {
  try {
    return fieldsOf(JSON.parse(text));
  } catch {
    return {};
  }
}

function fieldsOf(value: unknown): JsonFields {
  return typeof value === "object" && value !== null ? Object.fromEntries(Object.entries(value)) : {};
}

function measurementIn(entry: unknown, file: string | null): NamedMeasurement | { why: string } {
  const { name, distribution } = fieldsOf(entry);
  const d = fieldsOf(distribution);
  const quantity = quantities.find((q) => q === d["quantity"]);
  const measuredAs = quantities.find((q) => q === d["measuredAs"]);
  const inClass = inClassRules.find((r) => r === d["inClass"]);
  const { belowShare, aboveShare } = d;
  if (typeof name !== "string" || quantity === undefined || measuredAs === undefined || inClass === undefined)
    return { why: "its name, quantity or in-class rule is missing" };
  if (typeof belowShare !== "number" || typeof aboveShare !== "number")
    return { why: "its shares outside the classes are missing" };
  try {
    const whole = sizeDistribution({
      quantity,
      measuredAs,
      inClass,
      lowerUm: numbers(d["lowerUm"]),
      upperUm: numbers(d["upperUm"]),
      shares: numbers(d["shares"]),
      belowShare,
      aboveShare,
    });
    const how = statedOf(fieldsOf(fieldsOf(entry)["howMeasured"]));
    return {
      file,
      name,
      distribution: whole,
      ...withStated(how),
    };
  } catch (fault) {
    if (!(fault instanceof DomainError)) throw fault;
    return { why: fault.message };
  }
}

function numbers(value: unknown): number[] {
  return Array.isArray(value) ? value.map((v: unknown) => (typeof v === "number" ? v : Number.NaN)) : [];
}

/** @throws DomainError  a number that none of the fields can have */
function statedOf(fields: JsonFields): MeasurementMetadata {
  const entered = statedFields.map(({ field }) => {
    const value = fields[field];
    return [field, typeof value === (isTextField(field) ? "string" : "number") ? value : null];
  });
  return measurementMetadata(Object.fromEntries(entered));
}
