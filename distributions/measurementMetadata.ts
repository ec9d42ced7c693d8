import { DomainError } from "./domainError.ts";

export const statedTexts = [
  "technique",
  "opticalModel",
  "dispersant",
  "date",
  "operator",
  "instrument",
  "referenceDrum",
] as const;
export const statedNumbers = [
  "refractiveIndex",
  "absorptionIndex",
  "ultrasoundPowerW",
  "ultrasoundTimeS",
  "obscurationPercent",
] as const;

export type StatedText = (typeof statedTexts)[number];
export type StatedNumber = (typeof statedNumbers)[number];

/** How a measurement was made, as far as it is stated. What is absent is not stated, which is said wherever this is shown. */
export type MeasurementMetadata = { readonly [K in StatedText]?: string } & {
  readonly [K in StatedNumber]?: number;
};

/** Something of it in a reader's words; a number lies within its bounds. */
export type StatedField =
  | { readonly field: StatedText; readonly label: string; readonly unit: "" }
  | {
      readonly field: StatedNumber;
      readonly label: string;
      readonly unit: string;
      readonly least: number;
      readonly most: number;
    };

/** No solid bends light more; a larger number was misread, as 1.834 is where points part thousands. */
const highestIndex = 10;
const noBound = Number.MAX_VALUE;

/**
 * In the order they are shown in.
 * Source of the terms: ISO 13320 (optical model, refractive index n − ik, obscuration); docs/science.md.
 */
export const statedFields: readonly StatedField[] = [
  { field: "technique", label: "technique", unit: "" },
  { field: "opticalModel", label: "optical model", unit: "" },
  { field: "refractiveIndex", label: "refractive index", unit: "", least: 0.01, most: highestIndex },
  { field: "absorptionIndex", label: "absorption index", unit: "", least: 0, most: noBound },
  { field: "dispersant", label: "dispersant", unit: "" },
  { field: "ultrasoundPowerW", label: "ultrasound power", unit: "W", least: 0, most: noBound },
  { field: "ultrasoundTimeS", label: "ultrasound time", unit: "s", least: 0, most: noBound },
  { field: "obscurationPercent", label: "obscuration", unit: "%", least: 0, most: 100 },
  { field: "date", label: "date", unit: "" },
  { field: "operator", label: "operator", unit: "" },
  { field: "instrument", label: "instrument", unit: "" },
  { field: "referenceDrum", label: "reference drum", unit: "" },
];

export const notStated = "not stated";

/** A longer text is no answer to any of these. */
const longestText = 200;

/** What may be said of it: a text, a number, or null for what is taken back. */
export type PartialMetadata = {
  readonly [K in keyof MeasurementMetadata]?: MeasurementMetadata[K] | null | undefined;
};

/**
 * What is told, laid over what is stated already; null takes a field back. Texts are trimmed to one line, and an empty
 * one is not stated.
 *
 * @throws DomainError  a number lies outside its field's bounds
 */
export function measurementMetadata(
  entered: PartialMetadata,
  over: MeasurementMetadata = {},
): MeasurementMetadata {
  const how: { -readonly [K in keyof MeasurementMetadata]: MeasurementMetadata[K] } = {};
  for (const stated of statedFields) {
    const { field } = stated;
    const given = entered[field] === undefined ? over[field] : entered[field];
    if (given === undefined || given === null) continue;
    if ("least" in stated) how[stated.field] = checked(stated, Number(given));
    else {
      const text = lineOf(String(given));
      if (text !== "" && text.toLowerCase() !== notStated) how[stated.field] = text;
    }
  }
  return how;
}

export function isTextField(field: keyof MeasurementMetadata): field is StatedText {
  return statedTexts.some((text) => text === field);
}

/** As a part of a measurement: absent where nothing is stated. */
export function withStated(how: MeasurementMetadata): { readonly howMeasured?: MeasurementMetadata } {
  return Object.keys(how).length === 0 ? {} : { howMeasured: how };
}

/** A measurement with what is told of how it was made laid over what it states; null takes a field back. */
export function mergedMetadata<T extends { readonly howMeasured?: PartialMetadata | undefined }>(
  { howMeasured: stated = {}, ...rest }: T,
  entered: PartialMetadata = {},
): Omit<T, "howMeasured"> & { readonly howMeasured?: MeasurementMetadata } {
  return { ...rest, ...withStated(measurementMetadata(entered, measurementMetadata(stated))) };
}

/** A value in words, with its unit; "not stated" where there is none. */
export function statedWords(how: MeasurementMetadata, { field, unit }: StatedField): string {
  const value = how[field];
  return value === undefined ? notStated : `${value} ${unit}`.trim();
}

function lineOf(text: string): string {
  const line = text.replace(/[\s\p{Cc}]+/gu, " ").trim();
  return [...line].slice(0, longestText).join("").trim();
}

function checked(stated: Extract<StatedField, { readonly least: number }>, value: number): number {
  const { label, least, most } = stated;
  if (!(value >= least && value <= most))
    throw new DomainError(
      label,
      most === noBound ? `must be ${least} or more` : `must lie from ${least} to ${most}`,
      value,
    );
  return value;
}
