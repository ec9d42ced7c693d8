import type { ValuesOption } from "#distributions/tables/text/readingOptions.ts";
import { isDensity } from "./density.ts";
import type { SeriesContext } from "./seriesContext.ts";
import { addsToWhole, courseOf, kindOf } from "./shares.ts";

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

/** @param values  in the order of rising sizes */
export function valuesKind(values: readonly number[], context: SeriesContext): ValuesKind {
  const { values: said, sizes } = context;
  if (said?.source === "option")
    return { value: said.value, source: "option", evidence: said.evidence, doubt: null, note: null };
  const whole = addsToWhole(values);
  const course = whole ? null : courseOf(values);
  if (said !== null)
    return {
      value: said.value,
      source: "table",
      evidence: said.evidence,
      doubt: doubtOf(said.value, values, whole),
      note: null,
    };
  if (sizes.signs !== null && !whole) {
    const value = sizes.signs === "below" ? "undersize" : "oversize";
    const evidence = `every size stands behind ${sizes.signs === "below" ? "<" : ">"}`;
    return {
      value,
      source: "table",
      evidence,
      doubt: doubtOf(value, values, whole),
      note: `Read as ${value}: ${evidence}.`,
    };
  }
  if (course !== null) {
    return {
      value: course,
      source: "table",
      evidence: course === "undersize" ? "the values only rise with size" : "the values only fall with size",
      doubt: null,
      note:
        course === "undersize"
          ? "The values only rise with size: read as undersize."
          : "The values only fall with size: read as oversize and turned round.",
    };
  }
  return {
    value: kindOf(values),
    source: "table",
    evidence: whole ? "the values add to a whole" : "the values neither only rise nor only fall",
    doubt: null,
    note: null,
  };
}

function doubtOf(said: ValuesOption, values: readonly number[], whole: boolean): ValuesKind["doubt"] {
  const course = courseOf(values);
  if (isDensity(said)) return null;
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
  if (said === "class" && !whole && course !== null && reachesWhole(values))
    return {
      why: `The heading speaks of class shares, but the values run as ${course} does and do not add to a whole`,
      instead: [course],
    };
  return null;
}

function isLevel(values: readonly number[]): boolean {
  return Math.max(...values) === Math.min(...values);
}

function reachesWhole(values: readonly number[]): boolean {
  const high = Math.max(...values);
  return Math.abs(high - 1) <= 0.006 || Math.abs(high - 100) <= 0.6;
}
