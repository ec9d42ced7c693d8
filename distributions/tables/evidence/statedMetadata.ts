import { DomainError } from "#distributions/domainError.ts";
import {
  type MeasurementMetadata,
  measurementMetadata,
  notStated,
  type PartialMetadata,
  type StatedNumber,
  type StatedText,
  statedFields,
  statedWords,
} from "#distributions/measurementMetadata.ts";
import { type DecimalMark, numberIn } from "#distributions/tables/text/numbers.ts";

/** The line of a copy that says that nothing is stated. */
const nothingStated = `how it was measured: ${notStated}`;

/** What stands above a copied table of how it was measured: a line a field, or one where nothing is stated. */
export function statedLines(how: MeasurementMetadata | undefined): string[] {
  return how === undefined
    ? [nothingStated]
    : statedFields.map((field) => `${field.label}: ${statedWords(how, field)}`);
}

type ReadField = (value: string, mark: DecimalMark) => PartialMetadata;

const asText =
  (field: StatedText) =>
  (value: string): PartialMetadata => ({ [field]: value });

/** Plain headings under which a line states something of the measurement, and how its value reads. */
const headings: readonly (readonly [RegExp, ReadField])[] = [
  [/^(technique|(measuring|measurement) (technique|method)|method of measurement)$/, asText("technique")],
  [/^(optical|scattering) model$/, asText("opticalModel")],
  [
    /^((particle|powder|solid) )?refractive index( (\(real( part)?\)|of the (particles?|powder|solid)))?$/,
    indices,
  ],
  [
    /^((particle|powder|solid) )?(absorption index|imaginary (part of the )?refractive index)( of the (particles?|powder|solid))?$/,
    number("absorptionIndex", /^$/),
  ],
  [/^(dispersant|dispers(ing|ion) (medium|liquid)|carrier liquid)$/, asText("dispersant")],
  [/^(ultrasound|ultrasonic|sonication) power$/, number("ultrasoundPowerW", /^w(att)?s?$/)],
  [/^(ultrasound|ultrasonic|sonication) (time|duration)$/, seconds],
  [/^(ultrasound|ultrasonication|sonication)$/, ultrasound],
  [/^(((laser|light) )?obscuration|optical concentration)$/, obscuration],
  [
    /^(date|date (of measurement|measured)|measure(d on|ment date)|date of analysis|analysis date)$/,
    asText("date"),
  ],
  [/^(operator|measured by|analyst)$/, asText("operator")],
  [/^((measuring )?instrument|analy[sz]er)$/, asText("instrument")],
  [/^reference (drum|lot|material)$/, asText("referenceDrum")],
];

/**
 * What the lines around a table state of how it was measured, under plain headings: a heading alone in its cell or before
 * a colon. A value that does not read is left among the notes.
 *
 * @param lines  cells of a line stand apart by tabs
 * @returns      null where no line states anything
 */
export function statedIn(lines: readonly string[], mark: DecimalMark): MeasurementMetadata | null {
  let how: MeasurementMetadata | null = null;
  for (const line of lines) {
    const entered = line.length > longestLine ? null : lineStates(line, mark);
    if (entered !== null) how = measurementMetadata(entered, how ?? {});
  }
  return how;
}

const longestLine = 400;

function lineStates(line: string, mark: DecimalMark): PartialMetadata | null {
  if (line === nothingStated) return {};
  for (const split of [/^([^\t]*)\t(.*)$/, /^([^:=]*)[:=](.*)$/]) {
    const [, head = "", tail = ""] = split.exec(line) ?? [];
    const label = head
      .replace(/[:=\s]+/g, " ")
      .trim()
      .toLowerCase();
    const unit = /[[(,]\s*(%|w|s|min)\s*[\])]?$/.exec(label)?.[1] ?? "";
    const plain = unit === "" ? label : label.slice(0, label.search(/\s*[[(,][^[(,]*$/));
    const value = tail.replaceAll("\t", " ").trim();
    const read = headings.find(([pattern]) => pattern.test(plain))?.[1];
    if (read === undefined || value === "") continue;
    const entered =
      value.toLowerCase() === notStated ? {} : read(unit === "" ? value : `${value} ${unit}`, mark);
    if (value.toLowerCase() === notStated || Object.values(entered).some((v) => v !== undefined))
      return fits(entered) ? entered : null;
  }
  return null;
}

function fits(entered: PartialMetadata): boolean {
  try {
    measurementMetadata(entered);
    return true;
  } catch (fault) {
    if (fault instanceof DomainError) return false;
    throw fault;
  }
}

/** A number and the word behind it, which may stand twice where heading and value both say it. */
function numberWithUnit(value: string, mark: DecimalMark): { number: number; unit: string } | null {
  const found = /^([^\sa-z%]+(?:e[+-]?\d+)?)\s*([a-z%]*)(?:\s+\2)?$/i.exec(value);
  const parsed = found === null ? null : numberIn(found[1] ?? "", mark);
  return parsed === null ? null : { number: parsed, unit: (found?.[2] ?? "").toLowerCase() };
}

function number(field: StatedNumber, unit: RegExp): ReadField {
  return (value, mark) => {
    const read = numberWithUnit(value, mark);
    return read !== null && (read.unit === "" || unit.test(read.unit)) ? { [field]: read.number } : {};
  };
}

/** n, or n − ik as ISO 13320 writes it. */
function indices(value: string, mark: DecimalMark): PartialMetadata {
  const both = /^(\S+)\s*[-−–+]\s*(?:i\s*(\S+)|(\S+?)\s*i)$/.exec(value);
  if (both === null) return number("refractiveIndex", /^$/)(value, mark);
  const n = numberIn(both[1] ?? "", mark);
  const k = numberIn(both[2] ?? both[3] ?? "", mark);
  return n === null || k === null ? {} : { refractiveIndex: n, absorptionIndex: k };
}

function seconds(value: string, mark: DecimalMark): PartialMetadata {
  const read = numberWithUnit(value, mark);
  if (read === null) return {};
  if (/^(s|sec|secs|seconds?)?$/.test(read.unit)) return { ultrasoundTimeS: read.number };
  return /^min(s|utes?)?$/.test(read.unit) ? { ultrasoundTimeS: 60 * read.number } : {};
}

/** "40 W, 60 s", either of them alone, or none. */
function ultrasound(value: string, mark: DecimalMark): PartialMetadata {
  if (/^(none|no|off)$/i.test(value)) return { ultrasoundPowerW: 0, ultrasoundTimeS: 0 };
  let entered: PartialMetadata = {};
  for (const part of value.split(/[,;]\s+|\s+(?:for|and|at)\s+|\s*\/\s*/)) {
    const { unit = "" } = numberWithUnit(part, mark) ?? {};
    if (unit === "") return {};
    entered = {
      ...entered,
      ...(unit.startsWith("w") ? number("ultrasoundPowerW", /^w(att)?s?$/)(part, mark) : seconds(part, mark)),
    };
  }
  return entered;
}

/** In per cent where the sign says so, or where the number is too large for a fraction. */
function obscuration(value: string, mark: DecimalMark): PartialMetadata {
  const read = numberWithUnit(value, mark);
  const isPercent = read?.unit === "%" || (read?.unit === "" && read.number > 1);
  return read !== null && isPercent ? { obscurationPercent: read.number } : {};
}

/** What was taken from the lines around a table, in words for a note. */
export function statedText(how: MeasurementMetadata): string {
  return statedFields
    .filter(({ field }) => how[field] !== undefined)
    .map((field) => `${field.label} ${statedWords(how, field)}`)
    .join(", ");
}
