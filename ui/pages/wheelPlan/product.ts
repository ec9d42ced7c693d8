import { computed, effect, signal } from "@preact/signals";
import { type Curve, meanCurve } from "#distributions/curve.ts";
import { type StepKind, stepNamed } from "#model/lot/processSteps.ts";
import type { OneExponent } from "#model/mill/grinding/breakage.ts";
import { assumedCircuit, type FittedCircuit, fitCircuitSteps } from "#model/mill/grinding/fitCircuit.ts";
import { tiedKernel } from "#model/mill/grinding/tied.ts";
import { wheelCut } from "#model/mill/wheel/cut.ts";
import { address } from "#ui/data/address.ts";
import { inSteps } from "#ui/data/inSteps.ts";
import { mill, trials } from "#ui/data/mill.ts";
import { lot, stageLine } from "#ui/data/selection.ts";
import { stepsOf } from "#ui/data/steps.ts";
import { priorsInForce } from "./priors.ts";
import { fittedMill, trialCurves } from "./wheel.ts";

/** Whether the reader looks at it: only then is it worked out. */
export const isProductOpen = signal(false);

const coarseFeed = "much coarser than the product";

const feedKinds: readonly (StepKind | null)[] = ["crushed", "fired"];
const kindOf = (stage: string) => stepNamed(stepsOf(lot.value?.material ?? ""), stage)?.kind ?? null;

/** What goes into the mill: a stage of the lot, or so coarse that its own curve no longer matters. */
export const feedChoices = computed(() => [
  ...stageLine.value
    .filter((s) => s.curve !== null && feedKinds.includes(kindOf(s.stage)))
    .map((s): string => s.stage)
    .reverse(),
  coarseFeed,
]);
/** What a feed is called. */
export const sayFeed = (stage: string): string =>
  stageLine.value.find((s) => s.stage === stage)?.name ?? stage;
const chosenFeedStage = signal<string | null>(null);
export const feedStage = computed(() =>
  chosenFeedStage.value !== null && feedChoices.value.includes(chosenFeedStage.value)
    ? chosenFeedStage.value
    : (feedChoices.value[0] ?? coarseFeed),
);
export function chooseFeed(stage: string): void {
  chosenFeedStage.value = stage;
}
export const feedCurve = computed<Curve>(() => {
  const curve = stageLine.value.find((s) => s.stage === feedStage.value)?.curve ?? null;
  return curve === null ? { edgesUm: [300, 400], undersize: [0, 1], power: 0 } : meanCurve([curve]);
});

/** How the pieces of a break are spread. */
export const fragmentKind = signal<OneExponent>("power");

/** The circuit's shape: fitted once for the trials' curves and the feed, when the first picture has been drawn. */
export const fitted = signal<FittedCircuit | null>(null);
export const isWorking = signal(false);

/** Apart from the rest of the address, which every move of the slider writes: the fit does not hang on that. */
const isOnPlan = computed(() => address.value.page === "wheel-plan");

/** So long the first picture has the page for itself. */
const fitPauseMs = 250;
effect(() => {
  const curves = trialCurves.value.map((t) => t.curve);
  const from = feedCurve.value;
  const trialFit = fittedMill.value?.fit;
  const machine = mill.value?.mill;
  const pieces = fragmentKind.value;
  const { circuit } = priorsInForce.value;
  if (!isOnPlan.value || trialFit === undefined || machine === undefined) return;
  isWorking.value = true;
  const { speedRpm, flowM3PerH: flow } = trialFit.reference;
  const work = inSteps(
    fitCircuitSteps(curves, from, pieces, circuit),
    (found) => {
      isWorking.value = false;
      fitted.value = found() ?? assumedCircuit(wheelCut(machine, speedRpm, flow).cutUm, pieces, circuit);
    },
    fitPauseMs,
  );
  return work.stop;
});

/** Classes per doubling of size for what the slider draws. */
const drawnPerOctave = 8;

/** The balance's classes for every median the plan may ask for; made once for a shape and a feed. */
export const tied = computed(() => {
  const finest = Math.min(...trials.value.map((t) => t.trial.d50Um), 3) / 4;
  return fitted.value === null
    ? null
    : tiedKernel(feedCurve.value, fitted.value.shape, finest, drawnPerOctave);
});
