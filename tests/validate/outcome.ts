import type { Check, Measure, Row, Tolerance } from "./check.ts";
import { printedDigits } from "./check.ts";

/** How near ours came. */
export interface CheckOutcome {
  readonly ours: number;
  readonly isWithin: boolean;
  /** For a table's cell. */
  readonly agreement: string;
}

/** The worst row of a whole set, and how many rows lie within the tolerance. */
export interface SetOutcome {
  readonly rows: number;
  readonly rowsWithin: number;
  readonly isWithin: boolean;
  readonly worst: Row;
  readonly worstDeviation: number;
}

export function outcomeOf(check: Check): CheckOutcome {
  const tolerance = check.tolerance ?? printedDigits;
  const ours = check.ours() ?? Number.NaN;
  const published = Number(check.published);
  const printed = significantDigits(check.published);
  const isAsPrinted = Math.abs(ours - published) <= 0.5 * lastPlace(check.published) * (1 + 1e-9);
  const matched = isAsPrinted ? printed : Math.min(printed, leadingDigits(ours, published));
  const digits = printed === 0 ? "as printed" : isAsPrinted ? `all ${printed}` : `${matched} of ${printed}`;
  const ratio = deviationOf({ by: "ratio", atMost: 0 }, ours, published);
  switch (tolerance.by) {
    case "printed digits":
      return {
        ours,
        isWithin: isAsPrinted,
        agreement: isAsPrinted ? digits : `${digits}; off ${small(ratio)}`,
      };
    case "leading digits":
      return {
        ours,
        isWithin: isAsPrinted || matched >= tolerance.atLeast,
        agreement: `${digits} (${tolerance.atLeast} asked)`,
      };
    case "upper limit":
      return {
        ours,
        isWithin: ours <= published,
        agreement: ours <= published ? "below the limit" : "above the limit",
      };
    default: {
      const deviation = deviationOf(tolerance, ours, published);
      const unit = tolerance.by === "ratio" ? "" : " absolute";
      return {
        ours,
        isWithin: deviation <= tolerance.atMost,
        agreement: `off ${small(deviation)}${unit} (${small(tolerance.atMost)} allowed)`,
      };
    }
  }
}

export function setOutcomeOf({ rows, tolerance }: Measure): SetOutcome {
  if (tolerance.by !== "ratio" && tolerance.by !== "difference")
    throw new Error(`a whole set is held to a ratio or a difference, not to ${tolerance.by}`);
  let worst: Row = { name: "none", published: Number.NaN, ours: Number.NaN };
  let worstDeviation = -1;
  let rowsWithin = 0;
  for (const row of rows) {
    const deviation = deviationOf(tolerance, row.ours, row.published);
    if (deviation <= tolerance.atMost) rowsWithin++;
    // A value that is no number is worse than any.
    if (Number.isNaN(deviation) || deviation > worstDeviation) {
      worst = row;
      worstDeviation = Number.isNaN(deviation) ? Number.POSITIVE_INFINITY : deviation;
    }
  }
  const isWithin = rows.length > 0 && rowsWithin === rows.length;
  return { rows: rows.length, rowsWithin, isWithin, worst, worstDeviation };
}

function deviationOf(tolerance: Tolerance, ours: number, published: number): number {
  const difference = Math.abs(ours - published);
  if (tolerance.by !== "ratio" || difference === 0) return difference;
  return difference / Math.abs(published);
}

/** How many leading digits two numbers share: −log10 of their relative difference, whole digits, 15 at most. */
function leadingDigits(ours: number, published: number): number {
  const ratio = Math.abs(ours - published) / Math.abs(published);
  if (ratio === 0) return 15;
  return Number.isFinite(ratio) ? Math.min(15, Math.max(0, Math.floor(-Math.log10(ratio)))) : 0;
}

/** Digits of a printed number from its first that is not zero. */
export function significantDigits(printed: string): number {
  const digits = printed.replace(/e.*$/i, "").replace(/[^0-9]/g, "");
  return digits.replace(/^0+/, "").length;
}

/** Worth of one unit in the last printed place: "1.20" 0.01, "3.5e-5" 1e-6. */
function lastPlace(printed: string): number {
  const [mantissa = "", exponent = "0"] = printed.toLowerCase().split("e");
  const decimals = mantissa.split(".")[1]?.length ?? 0;
  return 10 ** (Number(exponent) - decimals);
}

/** Ours beside a printed number: two digits more than it, fifteen at most. */
export function besidePrinted(ours: number, printed: string): string {
  const [mantissa = "", exponent] = printed.toLowerCase().split("e");
  const decimals = (mantissa.split(".")[1]?.length ?? 0) + (significantDigits(printed) > 11 ? 0 : 2);
  if (exponent !== undefined) return ours.toExponential(decimals);
  return ours.toFixed(decimals);
}

/** A deviation in two digits. Below the last bits of a double, that is said instead. */
export function small(deviation: number): string {
  if (deviation === 0) return "0";
  if (deviation < 1e-15) return "less than 1e-15";
  return String(Number(deviation.toPrecision(2)));
}
