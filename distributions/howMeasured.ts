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
export type HowMeasured = { readonly [K in StatedText]?: string } & { readonly [K in StatedNumber]?: number };

/** Something of it in a reader's words. */
export interface StatedField {
  readonly field: keyof HowMeasured;
  readonly label: string;
  readonly unit: string;
}

/**
 * In the order they are shown in.
 * Source of the terms: ISO 13320 (optical model, refractive index n − ik, obscuration); docs/science.md.
 */
export const statedFields: readonly StatedField[] = [
  { field: "technique", label: "technique", unit: "" },
  { field: "opticalModel", label: "optical model", unit: "" },
  { field: "refractiveIndex", label: "refractive index", unit: "" },
  { field: "absorptionIndex", label: "absorption index", unit: "" },
  { field: "dispersant", label: "dispersant", unit: "" },
  { field: "ultrasoundPowerW", label: "ultrasound power", unit: "W" },
  { field: "ultrasoundTimeS", label: "ultrasound time", unit: "s" },
  { field: "obscurationPercent", label: "obscuration", unit: "%" },
  { field: "date", label: "date", unit: "" },
  { field: "operator", label: "operator", unit: "" },
  { field: "instrument", label: "instrument", unit: "" },
  { field: "referenceDrum", label: "reference drum", unit: "" },
];

export const notStated = "not stated";

/** A longer text is no answer to any of these. */
const longestText = 200;

/** What may be said of it: a text, a number, or null for what is taken back. */
export type Told = { readonly [K in keyof HowMeasured]?: HowMeasured[K] | null | undefined };

/**
 * What is told, laid over what is stated already; null takes a field back. Texts are trimmed to one line, and an empty
 * one is not stated.
 *
 * @throws DomainError  a number is not finite or below zero, a refractive index above 10, an obscuration above 100 %
 */
export function howMeasured(told: Told, over: HowMeasured = {}): HowMeasured {
  const how: { -readonly [K in keyof HowMeasured]: HowMeasured[K] } = {};
  for (const { field } of statedFields) {
    const isText = isTextField(field);
    const given = told[field] === undefined ? over[field] : told[field];
    if (given === undefined || given === null) continue;
    if (isText) {
      const text = lineOf(String(given));
      if (text !== "" && text.toLowerCase() !== notStated) how[field] = text;
    } else how[field] = checked(field, Number(given));
  }
  return how;
}

export function isTextField(field: keyof HowMeasured): field is StatedText {
  return statedTexts.some((text) => text === field);
}

/** A value in words, with its unit; "not stated" where there is none. */
export function statedWords(how: HowMeasured, { field, unit }: StatedField): string {
  const value = how[field];
  return value === undefined ? notStated : `${value} ${unit}`.trim();
}

function lineOf(text: string): string {
  const line = text.replace(/[\s\p{Cc}]+/gu, " ").trim();
  return [...line].slice(0, longestText).join("").trim();
}

/** No solid bends light more; a larger number was misread, as 1.834 is where points part thousands. */
const highestIndex = 10;

function checked(field: StatedNumber, value: number): number {
  const label = statedFields.find((f) => f.field === field)?.label ?? field;
  if (!(value >= 0 && Number.isFinite(value))) throw new DomainError(label, "must be zero or more", value);
  if (field === "refractiveIndex" && !(value > 0 && value <= highestIndex))
    throw new DomainError(label, `must be above 0 and at most ${highestIndex}`, value);
  if (field === "obscurationPercent" && value > 100)
    throw new DomainError(label, "must be at most 100 %", value);
  return value;
}
