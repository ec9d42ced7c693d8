import { type InClass, inClassRules, type Quantity, quantities } from "#distributions/sizeDistribution.ts";
import { rolesIn, withRoles } from "./roles.ts";

export const edgeOptions = ["upper", "lower", "both", "geometric-mid", "arithmetic-mid"] as const;
/** density is per µm (or per unit of the sizes), density-ln per ln size, density-decade per decade of size. */
export const valuesOptions = [
  "class",
  "undersize",
  "oversize",
  "density",
  "density-ln",
  "density-decade",
] as const;
/** amount: counts or masses in any unit, which are divided by their total. */
export const scaleOptions = ["percent", "fraction", "per-mille", "ppm", "amount"] as const;
export const unitOptions = ["um", "nm", "mm", "m", "phi", "mesh"] as const;
export const layoutOptions = ["columns", "rows", "long"] as const;
/** What an empty cell, a dash, "n.d." or "<0.01" among the values means. */
export const emptyOptions = ["zero"] as const;
/** What is done with shares that miss their whole by up to 1 %. */
export const sumOptions = ["divide"] as const;
export const decimalOptions = ["point", "comma"] as const;
export const delimiterOptions = ["comma", "semicolon", "tab", "pipe", "blanks"] as const;
export const encodingOptions = ["utf-8", "utf-16le", "utf-16be", "windows-1252"] as const;

export type EdgeOption = (typeof edgeOptions)[number];
export type ValuesOption = (typeof valuesOptions)[number];
export type ScaleOption = (typeof scaleOptions)[number];
export type UnitOption = (typeof unitOptions)[number];
export type EmptyOption = (typeof emptyOptions)[number];
export type SumOption = (typeof sumOptions)[number];
export type LayoutOption = (typeof layoutOptions)[number];
export type DecimalOption = (typeof decimalOptions)[number];
export type DelimiterOption = (typeof delimiterOptions)[number];
export type EncodingOption = (typeof encodingOptions)[number];

/** What the reader of a table may be told; each beats what the table says of itself. */
export interface ReadingOptions {
  readonly edge?: EdgeOption;
  readonly values?: ValuesOption;
  readonly scale?: ScaleOption;
  readonly quantity?: Quantity;
  readonly unit?: UnitOption;
  readonly layout?: LayoutOption;
  readonly empty?: EmptyOption;
  readonly sum?: SumOption;
  readonly decimal?: DecimalOption;
  readonly delimiter?: DelimiterOption;
  /** Of the bytes; text that has been decoded already does not change. */
  readonly encoding?: EncodingOption;
  readonly inClass?: InClass;
  /** A lower edge for the finest class, µm. */
  readonly firstEdgeUm?: number;
  /** What columns and rows are, as "c2=sizes,c5=left-out"; see text/roles.ts. */
  readonly roles?: string;
  /** Whether nothing may be assumed: then each assumption is a question. */
  readonly strict?: boolean;
  /** Only the measurements of these names. */
  readonly only?: readonly string[];
}

/** The words each option can take, where it takes words. */
export const optionWords = {
  edge: edgeOptions,
  values: valuesOptions,
  scale: scaleOptions,
  quantity: quantities,
  unit: unitOptions,
  layout: layoutOptions,
  empty: emptyOptions,
  sum: sumOptions,
  decimal: decimalOptions,
  delimiter: delimiterOptions,
  encoding: encodingOptions,
  inClass: inClassRules,
} as const;

/** An option that takes one of a few words. */
export type WordOption = keyof typeof optionWords;

export function isWordOption(name: string): name is WordOption {
  return Object.hasOwn(optionWords, name);
}

/** The options with one more answer; null for a word that is none of the option's. */
export function withAnswer(options: ReadingOptions, option: string, value: string): ReadingOptions | null {
  if (option === "roles") {
    const more = rolesIn(value);
    return more === null ? null : { ...options, roles: withRoles(options.roles, more) };
  }
  if (!isWordOption(option)) return null;
  const words: readonly string[] = optionWords[option];
  return words.includes(value) ? { ...options, [option]: value } : null;
}
