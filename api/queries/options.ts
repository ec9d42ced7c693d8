import { UnusableInput } from "#api/faults.ts";
import { withoutUndefined } from "#api/records/withoutUndefined.ts";
import { type InClass, inClassRules, type Quantity, quantities } from "#distributions/sizeDistribution.ts";
import {
  decimalOptions,
  delimiterOptions,
  edgeOptions,
  emptyOptions,
  encodingOptions,
  layoutOptions,
  type ReadingOptions,
  scaleOptions,
  sumOptions,
  unitOptions,
  valuesOptions,
} from "#distributions/tables/text/readingOptions.ts";

/** Options as they were given, by name, still as text: from the command line or from a request. */
export type Given = Readonly<Record<string, string | readonly string[] | undefined>>;

export function textOption(given: Given, name: string): string | undefined {
  const value = given[name];
  return typeof value === "string" ? value : value?.[0];
}

/** One of a few words. */
export function wordOption<T extends string>(given: Given, name: string, words: readonly T[]): T | undefined {
  const value = textOption(given, name);
  if (value === undefined) return undefined;
  const word = words.find((w) => w === value);
  if (word === undefined)
    throw new UnusableInput(`--${name} takes ${words.join(", ")}; found ${value}.`, value, words.join(", "));
  return word;
}

export function numberOption(
  given: Given,
  name: string,
  bounds: { readonly above?: number; readonly below?: number } = { above: 0 },
): number | undefined {
  const value = textOption(given, name);
  return value === undefined ? undefined : numberOf(name, value, bounds);
}

export function numbersOption(
  given: Given,
  name: string,
  bounds: { readonly above?: number; readonly below?: number } = { above: 0 },
): number[] | undefined {
  const value = textOption(given, name);
  return value?.split(",").map((part) => numberOf(name, part.trim(), bounds));
}

function numberOf(
  name: string,
  text: string,
  {
    above = Number.NEGATIVE_INFINITY,
    below = Number.POSITIVE_INFINITY,
  }: { readonly above?: number; readonly below?: number },
): number {
  const value = text === "" ? Number.NaN : Number(text);
  if (Number.isFinite(value) && value > above && value < below) return value;
  const range = [
    above > Number.NEGATIVE_INFINITY ? `above ${above}` : "",
    below < Number.POSITIVE_INFINITY ? `below ${below}` : "",
  ]
    .filter((p) => p !== "")
    .join(" and ");
  throw new UnusableInput(
    `--${name} takes a number ${range}; found ${text === "" ? "nothing" : text}.`,
    text,
    `a number ${range}`,
  );
}

/** An option without a value, as it is switched on here or sent as true. */
export function isOn(given: Given, name: string): boolean {
  const value = textOption(given, name);
  return value !== undefined && value !== "false";
}

/** Options without a value that every verb that reads a table knows. */
export const readingSwitches = ["explain", "strict"] as const;

/** The names of the options that say how a table is read, as every verb that takes a table knows them. */
export const readingFlags = [
  "edge",
  "values",
  "scale",
  "quantity",
  "unit",
  "layout",
  "empty",
  "sum",
  "decimal",
  "delimiter",
  "encoding",
  "in-class",
  "first-edge",
  "density",
  "only",
] as const;

export function readingOptionsOf(given: Given): ReadingOptions {
  const only = given["only"];
  return withoutUndefined({
    edge: wordOption(given, "edge", edgeOptions),
    values: wordOption(given, "values", valuesOptions),
    scale: wordOption(given, "scale", scaleOptions),
    quantity: wordOption<Quantity>(given, "quantity", quantities),
    unit: wordOption(given, "unit", unitOptions),
    layout: wordOption(given, "layout", layoutOptions),
    empty: wordOption(given, "empty", emptyOptions),
    sum: wordOption(given, "sum", sumOptions),
    strict: isOn(given, "strict") ? true : undefined,
    decimal: wordOption(given, "decimal", decimalOptions),
    delimiter: wordOption(given, "delimiter", delimiterOptions),
    encoding: wordOption(given, "encoding", encodingOptions),
    inClass: wordOption<InClass>(given, "in-class", inClassRules),
    firstEdgeUm: numberOption(given, "first-edge"),
    only: only === undefined ? undefined : typeof only === "string" ? [only] : only,
  });
}
