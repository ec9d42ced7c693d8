import { maxOf, minOf } from "#distributions/lists.ts";
import { noncentralityFor } from "#model/numbers/noncentralT.ts";

/** What these lots could have shown, had it been there. */
export interface SmallestEffect {
  /** Change of the result over the range of the factor that such lots show in 80 % of histories; null where none can be worked out. */
  readonly overRange: number;
  /** As many lots more, at such settings, would show half of it; null where over a thousand would not. */
  readonly moreLotsForHalf: number | null;
}

const power = 0.8;
/** More lots than this are no advice. */
const maxLots = 1000;

/**
 * The smallest effect of a factor that lots like these would show in 80 % of histories, at the first step of the false
 * discovery rate, and how many more lots would show half of it.
 *
 * @param lots        with the result and the factor, ≥ 4
 * @param residualSd  of the result about its regression
 * @param settings    of the factor, lot by lot
 * @param looks       how many pairs of factor and result are looked at
 * Source: power of Student's t test (noncentral t).
 */
export function smallestEffect(asked: {
  readonly residualSd: number;
  readonly settings: readonly number[];
  readonly looks: number;
  readonly falseDiscoveryRate: number;
}): SmallestEffect | null {
  const { residualSd, settings, looks, falseDiscoveryRate } = asked;
  const lots = settings.length;
  if (lots < 4 || looks < 1) return null;
  const mean = settings.reduce((sum, v) => sum + v, 0) / lots;
  const variance = settings.reduce((sum, v) => sum + (v - mean) ** 2, 0) / lots;
  const range = maxOf(settings) - minOf(settings);
  if (!(variance > 0)) return null;
  const level = falseDiscoveryRate / looks;
  const effectWith = (n: number) =>
    (noncentralityFor(power, n - 2, level) * residualSd * range) / Math.sqrt(n * variance);
  const overRange = effectWith(lots);
  if (effectWith(maxLots) > overRange / 2) return { overRange, moreLotsForHalf: null };
  let [few, enough] = [lots, maxLots];
  while (enough - few > 1) {
    const n = Math.floor((few + enough) / 2);
    if (effectWith(n) <= overRange / 2) enough = n;
    else few = n;
  }
  return { overRange, moreLotsForHalf: enough - lots };
}
