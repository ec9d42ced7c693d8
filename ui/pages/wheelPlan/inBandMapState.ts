import { batch, computed, effect, signal } from "@preact/signals";
import { bestSetting, chancesOver } from "#model/mill/prediction/bestSetting.ts";
import { isJudged } from "#model/mill/prediction/judgedRows.ts";
import { growthFor } from "#model/mill/prediction/targetBeforeRefiring.ts";
import { nextTrial } from "#model/mill/trials/nextTrial.ts";
import { flowLimits, speedLimits } from "#model/mill/trials/setPoint.ts";
import { geometricSteps } from "#model/numbers/evenSteps.ts";
import type { HeightGrid } from "#model/pictures/contours.ts";
import { inBandMap, mapMark, settingAt } from "#model/pictures/inBandMap.ts";
import { chanceText } from "#model/words/wording.ts";
import { millInUse as mill } from "#ui/data/knownOfMill.ts";
import { trials } from "#ui/data/mill.ts";
import { band } from "#ui/data/selection.ts";
import { figures, rpm } from "#ui/parts/format.ts";
import { pictureHeight } from "./pictureHeight.ts";
import {
  fittedMill,
  flowM3PerH,
  judged,
  settingFault,
  speedRpm,
  steadyFeed,
  steadyFlow,
  suggestion,
} from "./wheel.ts";
import { setFlow, setSpeed } from "./wheelEntries.ts";

/** Places along each axis: a first picture at once, the fine one a row at a time while nothing else waits. */
const coarse = 14;
const fine = 40;

const rows = computed(() => (judged.value !== null && isJudged(judged.value) ? judged.value : null));

/** What the band is for; re-firing counts unless it is for the milled powder. */
const growth = computed(() =>
  band.value === null
    ? (fittedMill.value?.growth ?? null)
    : growthFor(fittedMill.value?.growth ?? null, band.value),
);

const axes = computed(() => {
  const trialFit = fittedMill.value?.fit;
  const rated = mill.value?.mill.ratedSpeedRpm ?? null;
  if (trialFit === undefined || rated === null) return null;
  const { lowestRpm, highestRpm } = speedLimits(trialFit, rated);
  const flows = flowLimits(trialFit);
  const [from, to] =
    flows.highestM3PerH > flows.lowestM3PerH
      ? [flows.lowestM3PerH, flows.highestM3PerH]
      : [flows.lowestM3PerH / 1.5, flows.highestM3PerH * 1.5];
  return highestRpm > lowestRpm
    ? { speeds: [lowestRpm, highestRpm] as const, flows: [from, to] as const }
    : null;
});

const isWanted = computed(() => rows.value !== null && axes.value !== null && settingFault.value === null);

/** Why there is no map; null while there is one. */
export const whyNoMap = computed(() => {
  if (isWanted.value) return null;
  if (settingFault.value !== null) return settingFault.value;
  if (band.value === null) return "No map: there is no band to lie in.";
  if (axes.value === null) return "No map: no rated speed is entered, so no setting is suggested.";
  return "No map: the band has no limit that the trials speak of.";
});

export const grid = signal<HeightGrid | null>(null);
let round = 0;

function gridOf(count: number): { xs: number[]; ys: number[] } | null {
  return axes.value === null
    ? null
    : { xs: geometricSteps(...axes.value.speeds, count), ys: geometricSteps(...axes.value.flows, count) };
}

effect(() => {
  const mine = ++round;
  const trialFit = fittedMill.value?.thin;
  const judged = rows.value;
  const first = gridOf(coarse);
  const whole = gridOf(fine);
  const shift = growth.value;
  const feed = steadyFeed.value;
  if (!isWanted.value || trialFit === undefined || judged === null || first === null || whole === null) {
    grid.value = null;
    return;
  }
  const chances = (xs: readonly number[], ys: readonly number[]) =>
    chancesOver(trialFit, { growth: shift, judged, feedKgPerH: feed }, xs, ys);
  grid.value = { ...first, values: chances(first.xs, first.ys) };
  const values: number[][] = [];
  const more = () => {
    if (mine !== round) return;
    const next = whole.ys[values.length];
    if (next === undefined) {
      grid.value = { ...whole, values };
      return;
    }
    values.push(...chances(whole.xs, [next]));
    setTimeout(more);
  };
  setTimeout(more);
});

export const best = computed(() => {
  const trialFit = fittedMill.value?.thin;
  const rated = mill.value?.mill.ratedSpeedRpm ?? null;
  return trialFit === undefined || rows.value === null || rated === null || settingFault.value !== null
    ? null
    : bestSetting(
        trialFit,
        { growth: growth.value, judged: rows.value, feedKgPerH: steadyFeed.value },
        rated,
      );
});

/** No trial is advised at the very speed that the cautions say to stay under. A judgement of ours. */
const underRating = 0.95;

/** The trial that would teach most about D50 at the speed for the target, else at the best setting. */
export const next = computed(() => {
  const trialFit = fittedMill.value?.thin;
  const rated = mill.value?.mill.ratedSpeedRpm ?? null;
  const target = suggestion.value?.speedRpm?.median ?? best.value?.speedRpm ?? null;
  return trialFit === undefined || rated === null || target === null
    ? null
    : nextTrial(
        trialFit,
        { speedRpm: target, flowM3PerH: steadyFlow.value, feedKgPerH: steadyFeed.value },
        underRating * rated,
      );
});

const mapWidth = signal(700);

export function measureMap(width: number): void {
  mapWidth.value = Math.max(260, Math.min(width, 900));
}

const mapSize = computed(() => ({ width: mapWidth.value, height: pictureHeight.value }));

interface Setting {
  readonly speedRpm: number;
  readonly flowM3PerH: number;
}

/** A place of the map as it can be set: the speed in tens, the flow to three figures. */
export function settable(at: Setting): Setting {
  return {
    speedRpm: 10 * Math.round(at.speedRpm / 10),
    flowM3PerH: Number(at.flowM3PerH.toPrecision(3)),
  };
}

/** Sets speed and flow together, as a place of the map; what would change nothing is not asked anew. */
export function setPlace(at: Setting): void {
  const to = settable(at);
  batch(() => {
    setSpeed(to.speedRpm);
    setFlow(to.flowM3PerH);
  });
}

/** Sets the plan to the place under a pointer, in units of the picture. */
export function dragTo(x: number, y: number): void {
  if (grid.value !== null) setPlace(settingAt(grid.value, { x, y }, mapSize.value));
}

/** One step of an arrow key. */
const steps = { speedRpm: 10, flowM3PerH: 1 } as const;

/** Moves the plan by steps, held inside the map. */
export function step(acrossSteps: number, upSteps: number): void {
  const found = axes.value;
  if (found === null) return;
  const held = (value: number, [low, high]: readonly [number, number]) =>
    Math.min(Math.max(value, low), high);
  setPlace({
    speedRpm: held(speedRpm.value + acrossSteps * steps.speedRpm, found.speeds),
    flowM3PerH: held(flowM3PerH.value + upSteps * steps.flowM3PerH, found.flows),
  });
}

/** The map for a size; null while there is none. */
export function mapOf(size: { readonly width: number; readonly height: number }) {
  return grid.value === null
    ? null
    : inBandMap(
        grid.value,
        [
          ...trials.value.map((t) => ({
            kind: "trial" as const,
            label: "",
            speedRpm: t.trial.speedRpm,
            flowM3PerH: t.trial.gasFlowM3PerH ?? steadyFlow.value,
          })),
          ...(best.value === null ? [] : [{ kind: "best" as const, label: "highest chance", ...best.value }]),
          ...(next.value?.isWorth !== true
            ? []
            : [{ kind: "next" as const, label: "next trial", ...next.value }]),
        ],
        mill.value?.mill.ratedSpeedRpm ?? null,
        size,
      );
}

/** Changes with the law alone; the slider moves one mark over it. */
export const map = computed(() => mapOf(mapSize.value));

/** The setting under a pointer, in units of the picture, with the chance worked out nearest to it. */
export function readAt(x: number, y: number): string | null {
  const found = grid.value;
  if (found === null) return null;
  const { speedRpm: speed, flowM3PerH: flow } = settable(settingAt(found, { x, y }, mapSize.value));
  const nearest = (list: readonly number[], value: number) =>
    list.reduce(
      (best, one, i) => (Math.abs(one - value) < Math.abs((list[best] ?? one) - value) ? i : best),
      0,
    );
  const chance = found.values[nearest(found.ys, flow)]?.[nearest(found.xs, speed)];
  return chance === undefined ? null : `${rpm(speed)}, ${figures(flow)} m³/h: about ${chanceText(chance)}`;
}

/** Where the plan stands. */
export const here = computed(() =>
  grid.value === null
    ? null
    : mapMark(
        grid.value,
        { kind: "here", label: "", speedRpm: speedRpm.value, flowM3PerH: flowM3PerH.value },
        mapSize.value,
      ),
);

/** A few places of the map in numbers. */
export const mapTable = computed(() => {
  const found = grid.value;
  if (found === null) return null;
  const few = (list: readonly number[], count: number) =>
    Array.from({ length: count }, (_, i) => Math.round((i * (list.length - 1)) / (count - 1)));
  const columns = few(found.xs, 6);
  return {
    speeds: columns.map((c) => found.xs[c] ?? 0),
    rows: few(found.ys, 5).map((r) => ({
      flow: found.ys[r] ?? 0,
      chances: columns.map((c) => found.values[r]?.[c] ?? 0),
    })),
  };
});
