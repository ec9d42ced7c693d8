import { computed, effect, signal } from "@preact/signals";
import { type ProductAnswer, productAnswer } from "#model/answers/mill/productAnswer.ts";
import { geometricMean } from "#model/numbers/geometricMean.ts";
import { counted, figures } from "#model/words/wording.ts";
import { millInUse as mill } from "#ui/data/knownOfMill.ts";
import { trials } from "#ui/data/mill.ts";
import { feedCurve, fitted, isProductOpen } from "./product.ts";
import { feedKgPerH, flowM3PerH, plan } from "./wheel.ts";

export const finesBelowUm = signal(1);
export const residueAboveUm = signal(10);

/** D50 at the middle of the trials: what throughput is compared with. */
const referenceD50Um = computed(() => geometricMean(trials.value.map((t) => t.trial.d50Um)));

/** Product weighed over feed, and powder held, where trials note them. */
export const yieldWords = computed(() => {
  const shares = trials.value.flatMap(({ trial }) =>
    trial.productKgPerH == null || trial.feedKgPerH === null ? [] : [trial.productKgPerH / trial.feedKgPerH],
  );
  return shares.length === 0
    ? "–"
    : `${figures(100 * Math.min(...shares))}–${figures(100 * Math.max(...shares))} % in ${counted(shares.length, "trial")}`;
});
export const heldWords = computed(() => {
  const minutes = trials.value.flatMap(({ trial }) =>
    trial.holdUpKg == null || trial.feedKgPerH === null ? [] : [(60 * trial.holdUpKg) / trial.feedKgPerH],
  );
  return minutes.length === 0
    ? "–"
    : `${figures(Math.min(...minutes))}–${figures(Math.max(...minutes))} min in ${counted(minutes.length, "trial")}`;
});

/** Throughput, yield and energy at the setting, worked out while they are looked at. */
export const product = signal<ProductAnswer | null>(null);

let productRound = 0;
effect(() => {
  const mine = ++productRound;
  const shape = fitted.value;
  const from = feedCurve.value;
  const machine = mill.value?.mill;
  const { d10Um = null, d50Um = null, d90Um = null } = plan.value ?? {};
  const reference = referenceD50Um.value ?? d50Um?.median ?? null;
  const asked = {
    flowM3PerH: flowM3PerH.value,
    feedKgPerH: feedKgPerH.value,
    finesBelowUm: finesBelowUm.value,
    residueAboveUm: residueAboveUm.value,
  };
  if (!isProductOpen.value) return;
  if (shape === null || machine === undefined || d50Um === null || reference === null) {
    product.value = null;
    return;
  }
  // A moment after the slider rests, so that it never waits for this.
  setTimeout(() => {
    if (mine === productRound)
      product.value = productAnswer(machine, shape, from, {
        ...asked,
        d10Um,
        d50Um,
        d90Um,
        referenceD50Um: reference,
      });
  }, 40);
});
