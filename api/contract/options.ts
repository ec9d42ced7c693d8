import { UnusableInput } from "#api/faults.ts";
import { answeredWords } from "#api/records/answeredWords.ts";
import { withoutUndefined } from "#api/records/withoutUndefined.ts";
import { DomainError } from "#distributions/domainError.ts";
import { isWordOption, optionWords, type ReadingOptions } from "#distributions/tables/text/readingOptions.ts";
import { rolesIn } from "#distributions/tables/text/roles.ts";

/** So many days a token holds at most: a year, then a new one is made, and who still needs it is known. */
export const maxTokenDays = 366;

/** Options as they were given, by flag, still as text: from the command line or from a request. */
export type Given = Readonly<Record<string, string | readonly string[] | undefined>>;

/** What the API's document says of an option. */
type ShownValue = {
  readonly type: "string" | "number";
  readonly enum?: string[];
  readonly description?: string;
};
type Shown = ShownValue | { readonly type: "array"; readonly items: ShownValue };

/** One option of a verb: its flag on the command line, how it is read, and how the API's document shows it. */
export interface Option<T> {
  readonly flag: string;
  /** Undefined where it was not given. @throws UnusableInput */
  readonly read: (given: Given) => T | undefined;
  readonly shown: Shown;
  /** Whether the command line takes a file for it, and a request what would stand in the file. */
  readonly isFile?: boolean;
}

interface Bounds {
  /** The value itself is allowed. */
  readonly least?: number;
  readonly above?: number;
  readonly below?: number;
}
const positive: Bounds = { above: 0 };

/** One of a few words. */
export function word<T extends string>(flag: string, words: readonly T[]): Option<T> {
  return {
    flag,
    read: (given) => wordOption(given, flag, words),
    shown: { type: "string", enum: [...words] },
  };
}

export function text(flag: string): Option<string> {
  return { flag, read: (given) => textOption(given, flag), shown: { type: "string" } };
}

/** Above zero where no bounds are given. */
export function number(flag: string, bounds: Bounds = positive): Option<number> {
  return { flag, read: (given) => numberOption(given, flag, bounds), shown: shownNumber(bounds) };
}

/** Numbers in a list with commas. */
export function numbers(flag: string, bounds: Bounds = positive): Option<number[]> {
  const read = (given: Given) =>
    textOption(given, flag)
      ?.split(",")
      .map((part) => numberOf(flag, part.trim(), bounds));
  return { flag, read, shown: { type: "array", items: shownNumber(bounds) } };
}

/** Texts in a list with commas. */
export function texts(flag: string): Option<string[]> {
  const read = (given: Given) =>
    textOption(given, flag)
      ?.split(",")
      .map((part) => part.trim());
  return { flag, read, shown: { type: "array", items: { type: "string" } } };
}

/** Both ends of a range; one that is left out is open. */
export interface RangeGiven {
  readonly low: number | null;
  readonly high: number | null;
}

/** A range as "3.0..3.6"; "3.0.." and "..3.6" are open at one end. */
export function range(flag: string): Option<RangeGiven> {
  const read = (given: Given) => {
    const entered = textOption(given, flag);
    return entered === undefined ? undefined : endsOf(flag, entered);
  };
  return { flag, read, shown: { type: "string", description: "low..high" } };
}

/** Ranges by name, as "firingC=1550..1620,timeH=2..8". */
export function rangesByName(flag: string): Option<Record<string, RangeGiven>> {
  const read = (given: Given) => {
    const entered = textOption(given, flag);
    if (entered === undefined) return undefined;
    const named = entered.split(",").map((part): [string, RangeGiven] => {
      const [name = "", ends, ...more] = part.split("=");
      if (name.trim() === "" || ends === undefined || more.length > 0)
        throw new UnusableInput(
          `--${flag} takes NAME=LOW..HIGH, with commas between.`,
          part,
          "firingC=1550..1620",
        );
      return [name.trim(), endsOf(flag, ends)];
    });
    return Object.fromEntries(named);
  };
  return { flag, read, shown: { type: "string", description: "name=low..high, with commas between" } };
}

/** Numbers by name, as "firingC=1600,speedRpm=6300". */
export function numbersByName(flag: string): Option<Record<string, number>> {
  const read = (given: Given) => {
    const entered = textOption(given, flag);
    if (entered === undefined) return undefined;
    const named = entered.split(",").map((part): [string, number] => {
      const [name = "", value = "", ...more] = part.split("=").map((each) => each.trim());
      if (name === "" || value === "" || more.length > 0 || !Number.isFinite(Number(value)))
        throw new UnusableInput(
          `--${flag} takes NAME=NUMBER, with commas between.`,
          part,
          "firingC=1600,speedRpm=6300",
        );
      return [name, Number(value)];
    });
    return Object.fromEntries(named);
  };
  return { flag, read, shown: { type: "string", description: "name=number, with commas between" } };
}

function endsOf(flag: string, entered: string): RangeGiven {
  const ends = entered.split("..");
  const [low, high] = ends.map((end) => (end.trim() === "" ? null : Number(end)));
  const isUsable =
    ends.length === 2 &&
    low !== undefined &&
    high !== undefined &&
    !(low === null && high === null) &&
    [low, high].every((end) => end === null || Number.isFinite(end)) &&
    (low === null || high === null || low <= high);
  if (!isUsable)
    throw new UnusableInput(`--${flag} takes a range from low to high, as 3.0..3.6.`, entered, "LOW..HIGH");
  return { low, high };
}

/** The path of a file. */
export function file(flag: string): Option<string> {
  return { flag, read: (given) => textOption(given, flag), shown: { type: "string" }, isFile: true };
}

/** What was given of a verb's options, under their names in code; one that was not given is absent. @throws UnusableInput */
export function optionsOf<T>(given: Given, options: { readonly [K in keyof T]: Option<T[K]> }): Partial<T> {
  const read: Partial<T> = {};
  for (const name in options) {
    const value = options[name].read(given);
    if (value !== undefined) read[name] = value;
  }
  return read;
}

/** A name in code as a flag: inClass is in-class. */
export const flagOf = (name: string): string =>
  name.replace(/[A-Z]/g, (letter) => `-${letter.toLowerCase()}`);

/** The options that say how a table is read, by their names in code; the reader's own list. */
export const readingOptions: Readonly<Record<string, Option<unknown>>> = {
  ...Object.fromEntries(
    Object.entries(optionWords).map(([name, words]): [string, Option<unknown>] => [
      name,
      word<string>(flagOf(name), words),
    ]),
  ),
  firstEdgeUm: number("first-edge"),
  roles: text("roles"),
  densityGPerCm3: number("density"),
  only: {
    ...texts("only"),
    read: ({ only }) => (typeof only === "string" ? [only] : only),
  },
};
/** Options without a value that every verb that reads a table has. */
export const readingSwitches = ["explain", "strict"] as const;

/** An option without a value, as it is switched on here or sent as true. */
export function isOn(given: Given, flag: string): boolean {
  const value = textOption(given, flag);
  return value !== undefined && value !== "false";
}

/** Their flags, as every verb that takes a table knows them. */
export const readingFlags: readonly string[] = Object.values(readingOptions).map(({ flag }) => flag);

export function readingOptionsOf(given: Given): ReadingOptions {
  const { only } = given;
  return {
    ...answeredWords((name) =>
      isWordOption(name) ? wordOption<string>(given, flagOf(name), optionWords[name]) : undefined,
    ),
    ...withoutUndefined({
      firstEdgeUm: numberOption(given, "first-edge"),
      roles: rolesOption(given),
      strict: isOn(given, "strict") ? true : undefined,
      only: only === undefined ? undefined : typeof only === "string" ? [only] : only,
    }),
  };
}

/** @throws DomainError for what names no columns and rows */
function rolesOption(given: Given): string | undefined {
  const text = textOption(given, "roles");
  if (text !== undefined && rolesIn(text) === null)
    throw new DomainError("roles", text, "must name places and what they are, such as c2=sizes,c5=left-out");
  return text;
}

export function textOption(given: Given, flag: string): string | undefined {
  const value = given[flag];
  return typeof value === "string" ? value : value?.[0];
}

export function wordOption<T extends string>(given: Given, flag: string, words: readonly T[]): T | undefined {
  const value = textOption(given, flag);
  if (value === undefined) return undefined;
  const found = words.find((w) => w === value);
  if (found === undefined)
    throw new UnusableInput(`--${flag} takes ${words.join(", ")}; found ${value}.`, value, words.join(", "));
  return found;
}

export function numberOption(given: Given, flag: string, bounds: Bounds = positive): number | undefined {
  const value = textOption(given, flag);
  return value === undefined ? undefined : numberOf(flag, value, bounds);
}

function shownNumber(bounds: Bounds): ShownValue {
  return { type: "number", description: rangeOf(bounds) };
}

function rangeOf({ least, above, below }: Bounds): string {
  const parts = [
    least === undefined ? "" : `of ${least} or more`,
    above === undefined ? "" : `above ${above}`,
    below === undefined ? "" : `below ${below}`,
  ];
  return parts.filter((p) => p !== "").join(" and ");
}

function numberOf(flag: string, given: string, bounds: Bounds): number {
  const {
    least = Number.NEGATIVE_INFINITY,
    above = Number.NEGATIVE_INFINITY,
    below = Number.POSITIVE_INFINITY,
  } = bounds;
  const value = given === "" ? Number.NaN : Number(given);
  if (Number.isFinite(value) && value >= least && value > above && value < below) return value;
  const range = rangeOf(bounds);
  throw new UnusableInput(
    `--${flag} takes a number ${range}; found ${given === "" ? "nothing" : given}.`,
    given,
    `a number ${range}`,
  );
}
