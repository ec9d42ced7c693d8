import { mean, sampleStandardDeviation } from "simple-statistics";
import { DomainError } from "#distributions/domainError.ts";
import { tQuantile } from "#model/numbers/studentT.ts";

/** A size of one lot as two instruments or methods found it. */
export interface FoundTwice {
  readonly lot: string;
  readonly firstUm: number;
  readonly secondUm: number;
}

/** How the second differs from the first, in per cent of the size. */
export interface InstrumentOffset {
  readonly percent: number;
  /** Of the mean offset; null below three lots. */
  readonly low: number | null;
  readonly high: number | null;
  readonly lots: number;
  readonly level: number;
}

/** Fewer lots give no interval that could be relied on. A judgement of ours. */
export const minLotsForOffset = 3;

/**
 * The offset between two instruments or methods from lots measured on both: the mean of ln(second/first) with Student's t
 * interval over the lots. It holds for powders and sizes like these lots'.
 *
 * @returns null where no lot was measured on both
 * @throws  DomainError for a size that is not above 0, or a level outside 0 … 1
 * Source: paired differences with Student's t (NIST/SEMATECH e-Handbook 7.3.1), on ln.
 */
export function instrumentOffset(found: readonly FoundTwice[], level = 0.95): InstrumentOffset | null {
  if (!(level > 0 && level < 1)) throw new DomainError("level", "must lie between 0 and 1", level);
  const odd = found.find(({ firstUm, secondUm }) => !(firstUm > 0 && secondUm > 0));
  if (odd !== undefined) throw new DomainError("size in µm", "must be above 0", odd.lot);
  if (found.length === 0) return null;
  const ratios = found.map(({ firstUm, secondUm }) => Math.log(secondUm / firstUm));
  const middle = mean(ratios);
  const percent = (ln: number) => 100 * Math.expm1(ln);
  const lots = found.length;
  if (lots < minLotsForOffset) return { percent: percent(middle), low: null, high: null, lots, level };
  const reach = (tQuantile((1 + level) / 2, lots - 1) * sampleStandardDeviation(ratios)) / Math.sqrt(lots);
  return {
    percent: percent(middle),
    low: percent(middle - reach),
    high: percent(middle + reach),
    lots,
    level,
  };
}
