import { maxOf, minOf } from "#distributions/lists.ts";
import { addsToWhole, courseOf, reachesWhole } from "#distributions/tables/layout/wholes.ts";
import { figuresText } from "#distributions/tables/text/figuresText.ts";
import type { ValuesOption } from "#distributions/tables/text/readingOptions.ts";
import { wholeOf } from "#distributions/tables/text/wholeOfScale.ts";
import { isDensity } from "./density.ts";
import type { SeriesContext } from "./seriesContext.ts";

/** What the values of a series are, and on what evidence; or what else they could be, where words and numbers disagree. */
export interface ValuesKind {
  readonly value: ValuesOption;
  readonly source: "option" | "table";
  readonly evidence: string;
  /** Set where a word says one thing and the numbers another: why, and what they could be instead. */
  readonly doubt: { readonly why: string; readonly instead: readonly ValuesOption[] } | null;
  /** The reading to note, where the numbers alone decided. */
  readonly note: string | null;
}

/** @param given  in the order of rising sizes */
export function valuesKind(given: readonly number[], context: SeriesContext): ValuesKind {
  const { values: said, scale } = context;
  // Where a scale of thousands or millions is known, the whole is that.
  const isOfMany = scale?.value === "per-mille" || scale?.value === "ppm";
  const values = isOfMany ? given.map((v) => v / wholeOf[scale.value]) : given;
  if (said?.source === "option")
    return { value: said.value, source: "option", evidence: said.evidence, doubt: null, note: null };
  const whole = addsToWhole(values);
  const isOtherwise = said?.isNoted === true && !mayBe(said.value, values, whole);
  if (said !== null && !isOtherwise)
    return {
      value: said.value,
      source: "table",
      evidence: said.evidence,
      doubt: doubtOf(said.value, values, whole),
      note: null,
    };
  const byNumbers = numbersKind(values, whole, context);
  const ended = cumulativeByName(byNumbers, values, context);
  if (ended !== null) return ended;
  const { values: contradiction } = context.contradictions;
  if (contradiction === undefined) return byNumbers;
  // Two words; the numbers may prove one of them.
  const isProven = (whole || reachesWhole(values)) && context.claimedValues.includes(byNumbers.value);
  return isProven
    ? {
        ...byNumbers,
        note: `${contradiction}; ${byNumbers.evidence}, so they were read as ${byNumbers.value}.`,
      }
    : { ...byNumbers, doubt: { why: contradiction, instead: context.claimedValues } };
}

/** Amounts that only rise or only fall, under a heading that may call them cumulative: asked, since numbers do not tell. */
function cumulativeByName(
  byNumbers: ValuesKind,
  values: readonly number[],
  { namedValues }: SeriesContext,
): ValuesKind | null {
  if (byNumbers.value !== "class" || namedValues.length === 0) return null;
  const high = maxOf(values);
  const course = high > 0 ? courseOf(values.map((v) => v / high)) : null;
  if (course === null || !namedValues.includes(course)) return null;
  return {
    ...byNumbers,
    doubt: {
      why: `A word in the heading may say ${course}, and the values only ${course === "undersize" ? "rise" : "fall"} with size, to ${figuresText(high)}`,
      instead: [course, "class"],
    },
  };
}

/** Whether the numbers allow what a note says, which may speak of something else: what is cumulative runs one way. */
function mayBe(said: ValuesOption, values: readonly number[], whole: boolean): boolean {
  if (said === "class" || isDensity(said)) return true;
  return !whole && !isHump(values);
}

/** Values that rise to a peak and fall again on both sides, as amounts of classes do and nothing cumulative can. */
function isHump(values: readonly number[]): boolean {
  const half = 0.5 * maxOf(values);
  return (values[0] ?? half) < half && (values.at(-1) ?? half) < half;
}

/** What the numbers alone say. */
function numbersKind(values: readonly number[], whole: boolean, context: SeriesContext): ValuesKind {
  const { sizes } = context;
  const entered = (value: ValuesOption, evidence: string, note: string | null): ValuesKind => ({
    value,
    source: "table",
    evidence,
    doubt: null,
    note,
  });
  if (sizes.signs !== null && !whole) {
    const value = sizes.signs === "below" ? "undersize" : "oversize";
    const evidence = `every size stands behind ${sizes.signs === "below" ? "<" : ">"}`;
    const kind = entered(value, evidence, `Read as ${value}: ${evidence}.`);
    return { ...kind, doubt: doubtOf(value, values, whole) };
  }
  if (whole) return entered("class", "the values add to a whole", null);
  // Counts and masses rise and fall as they like, and say nothing of being cumulative.
  const way = courseOf(values);
  const isCount = context.scale?.value === "amount" && !(way !== null && reachesWhole(values));
  const isAmount = isCount || maxOf(values) > 100.5;
  const course = isAmount ? null : way;
  if (course === "undersize")
    return entered(
      course,
      "the values only rise with size",
      "The values only rise with size: read as undersize.",
    );
  if (course === "oversize")
    return entered(
      course,
      "the values only fall with size",
      "The values only fall with size: read as oversize and turned round.",
    );
  return entered(
    "class",
    isAmount ? "amounts are class values" : "the values neither only rise nor only fall",
    null,
  );
}

function doubtOf(said: ValuesOption, values: readonly number[], whole: boolean): ValuesKind["doubt"] {
  const course = courseOf(values);
  if (isDensity(said))
    return course !== null && reachesWhole(values) && minOf(values) <= 0.5 * maxOf(values)
      ? {
          why: `The heading speaks of a density, but the values run as ${course} does, to a whole`,
          instead: [course],
        }
      : null;
  if (said === "undersize" && course === "oversize" && !isLevel(values))
    return {
      why: "The heading speaks of undersize, but the whole column falls as sizes rise, as oversize does",
      instead: ["oversize"],
    };
  if (said === "oversize" && course === "undersize" && !isLevel(values))
    return {
      why: "The heading speaks of oversize, but the whole column rises with size, as undersize does",
      instead: ["undersize"],
    };
  if (said !== "class" && course === null && whole)
    return {
      why: `The heading speaks of ${said}, but the values neither only rise nor only fall, and add to a whole as class shares do`,
      instead: ["class"],
    };
  if (said !== "class" && isHump(values))
    return {
      why: `The heading speaks of ${said}, but the values rise and fall with size, as the amounts of classes do`,
      instead: ["class"],
    };
  if (said === "class" && !whole && course !== null && reachesWhole(values))
    return {
      why: `The heading speaks of class shares, but the values run as ${course} does and do not add to a whole`,
      instead: [course],
    };
  return null;
}

function isLevel(values: readonly number[]): boolean {
  return maxOf(values) === minOf(values);
}
