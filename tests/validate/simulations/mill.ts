import { nextTrial, speedsAdvised } from "#model/mill/trials/nextTrial.ts";
import { type Posterior, posteriorOf, predict } from "#model/mill/trials/posterior.ts";
import { thinPosterior, thinPrediction } from "#model/mill/trials/predictionMixture.ts";
import { curvaturePrior, usualPriors } from "#model/mill/trials/priors.ts";
import type { Trial } from "#model/mill/trials/trial.ts";
import { noisePriorOf, type TrialFit } from "#model/mill/trials/trialFit.ts";
import { chanceBelow, mixtureQuantile } from "#model/numbers/normalMixture.ts";
import { type Chance, chanceFrom } from "./chance.ts";

/** Fixed before the first run. */
const seed = 61_125;
export const millNoise = noisePriorOf(usualPriors);
export const millPriors = [
  { mean: 1, sd: usualPriors.medianSd },
  usualPriors.speed,
  usualPriors.flow,
  usualPriors.feed,
  curvaturePrior,
] as const;

/** Where trials ran: 1, the logarithms of speed, flow and feed over the reference, and the square of that of speed. */
interface Design {
  readonly name: string;
  readonly rows: readonly (readonly number[])[];
}

/** The factors at a ln of speed, flow and feed over the reference. */
export function rowAtLn(speed: number, flow = 0, feed = 0): number[] {
  return [1, speed, flow, feed, speed ** 2];
}

/** Sixteen designs: 3, 5, 8 or 12 trials over a narrow or wide stretch of speeds, at one flow and feed or at several. */
export const designs: readonly Design[] = [3, 5, 8, 12].flatMap((count) =>
  [0.2, 0.7].flatMap((span) =>
    [0, 0.2].map((spread) => ({
      name: `${count} trials, speeds over ${Math.exp(span).toFixed(2)}, ${spread === 0 ? "one flow and feed" : "several flows and feeds"}`,
      rows: Array.from({ length: count }, (_, i) =>
        rowAtLn(span * (i / (count - 1) - 0.5), spread * Math.sin(2.4 * i), spread * Math.cos(4.1 * i)),
      ),
    })),
  ),
);

export const dot = (a: readonly number[], b: readonly number[]) =>
  a.reduce((sum, v, i) => sum + v * (b[i] ?? 0), 0);

/** Half of a Cauchy curve of the prior's scale, without the thirtieth that lies beyond twenty times it. */
export function noiseFromPrior({ even }: Chance): number {
  return usualPriors.noise * Math.tan((Math.PI / 2) * 0.968 * even());
}

type Truth = (chance: Chance) => { readonly law: (row: readonly number[]) => number; readonly sigma: number };

const fromPriors: Truth = (chance) => {
  const beta = millPriors.map(({ mean, sd }) => mean + sd * chance.normal());
  return { law: (row) => dot(row, beta), sigma: noiseFromPrior(chance) };
};

/** Laws that do not come from the priors: the exponent of speed as it is, or bending over the speeds tried. */
const fixedLaws = [
  { name: "exponent −0.3", law: (x: number) => 1.2 - 0.3 * x },
  { name: "exponent −1", law: (x: number) => 1.2 - x },
  { name: "exponent −1.8", law: (x: number) => 1.2 - 1.8 * x },
  // The exponent goes from −1.4 at the slow end to −0.4 at the fast one, and on beyond.
  { name: "bend from −1.4 to −0.4", law: (x: number) => 1.2 - 0.9 * x + x ** 2 / (2 * triedSpan) },
] as const;

/** ln of the fastest speed tried over the slowest. */
const triedSpan = Math.LN2;

const places = [
  { place: "centre", lnSpeed: 0 },
  { place: "fastest trial", lnSpeed: triedSpan / 2 },
  { place: "1.4 times beyond", lnSpeed: triedSpan / 2 + Math.log(1.4) },
] as const;

export interface LawCoverage {
  readonly law: string;
  readonly trials: number;
  readonly place: (typeof places)[number]["place"];
  readonly noises: readonly {
    readonly noise: number;
    /** Share of further runs inside the 90 % interval. */
    readonly share: number;
    /** Median half width of the interval, as a share of D50. */
    readonly halfWidth: number;
  }[];
}

export const campaignsPerCase = 2000;
const runNoises = [0.02, 0.03, 0.05, 0.1, 0.15];

/** How often the 90 % interval holds one further run, at fixed laws and noises. */
export function lawCoverage(
  campaigns = campaignsPerCase,
  noises: readonly number[] = runNoises,
): LawCoverage[] {
  return fixedLaws.flatMap(({ name, law }, l) =>
    [4, 6, 8, 12].flatMap((trials): LawCoverage[] => {
      const rows = Array.from({ length: trials }, (_, i) => rowAtLn(triedSpan * (i / (trials - 1) - 0.5)));
      const byNoise = noises.map((sigma) => {
        const chance = chanceFrom(seed + 10_000 * l + 100 * trials + Math.round(1000 * sigma));
        const campaignsOf = Array.from({ length: campaigns }, () => {
          const run = (x: number) => law(x) + sigma * chance.normal();
          const posterior = posteriorOf(
            rows,
            rows.map((row) => run(row[1] ?? 0)),
            millPriors,
            millNoise,
          );
          return places.map(({ lnSpeed }) => {
            const found = thinPrediction(predict(posterior, rowAtLn(lnSpeed)), 24);
            const [low, high] = [mixtureQuantile(found, 0.05), mixtureQuantile(found, 0.95)];
            const value = run(lnSpeed);
            return { isHeld: value >= low && value <= high, half: Math.expm1((high - low) / 2) };
          });
        });
        return { noise: sigma, campaignsOf };
      });
      return places.map(({ place }, at) => ({
        law: name,
        trials,
        place,
        noises: byNoise.map(({ noise: sigma, campaignsOf }) => ({
          noise: sigma,
          share: campaignsOf.filter((c) => c[at]?.isHeld).length / campaigns,
          halfWidth: medianOf(campaignsOf.map((c) => c[at]?.half ?? Number.NaN)),
        })),
      }));
    }),
  );
}

/** The least coverage that is asked for; more than 90 % is allowed, and shown. */
export function leastCoverage({ law, trials, place }: Pick<LawCoverage, "law" | "trials" | "place">): number {
  if (law.startsWith("bend")) return place === "1.4 times beyond" ? 0.78 : trials === 4 ? 0.82 : 0.85;
  return trials === 4 ? 0.82 : 0.85;
}

export interface MillCoverage {
  readonly design: string;
  readonly cases: number;
  /** Share of further runs inside the 90 % interval, at a setting within what was tried. */
  readonly share: number;
}

/** How often the 90 % prediction interval holds one further run, of laws and noises drawn from the millPriors. */
export function millCoverage(cases: number): MillCoverage[] {
  return designs.map((design, d) => {
    const chance = chanceFrom(seed + 1000 * d + 6);
    let held = 0;
    for (let k = 0; k < cases; k++) {
      const { law, sigma } = fromPriors(chance);
      const run = (row: readonly number[]) => law(row) + sigma * chance.normal();
      const posterior = posteriorOf(design.rows, design.rows.map(run), millPriors, millNoise);
      const speeds = design.rows.map((r) => r[1] ?? 0);
      const low = Math.min(...speeds);
      const at = rowAtLn(low + chance.even() * (Math.max(...speeds) - low));
      const p = chanceBelow(predict(posterior, at), run(at));
      if (p > 0.05 && p < 0.95) held++;
    }
    return { design: design.name, cases, share: held / cases };
  });
}

export interface Advised {
  readonly target: "fast edge" | "beyond the fast edge" | "slow edge" | "centre";
  readonly cases: number;
  /** In how many of them the advice is shown at all. */
  readonly shown: number;
  /** Median width of the 90 % interval of the D50 curve at the target, advised over evenly spread, where it is shown; null where it never is. */
  readonly ratio: number | null;
}

/** Three further trials as advised, one after the other, against three spread evenly over the permitted speeds. */
export function advice(cases: number): Advised[] {
  const rated = 12_000;
  const tried = [4000, 4600, 5200, 6000, 6900, 8000];
  const targets = [
    ["fast edge", 8000],
    ["beyond the fast edge", 10_000],
    ["slow edge", 4000],
    ["centre", 5650],
  ] as const;
  return targets.map(([target, targetRpm], t) => {
    const chance = chanceFrom(seed + 31 * t);
    const advised: number[] = [];
    const even: number[] = [];
    for (let k = 0; k < cases; k++) {
      const { law, sigma } = fromPriors(chance);
      const run = (rpm: number): Trial => ({
        speedRpm: rpm,
        gasFlowM3PerH: null,
        feedKgPerH: null,
        d10Um: null,
        d50Um: Math.exp(law(rowAt(rpm)) + sigma * chance.normal()),
        d90Um: null,
      });
      const start = tried.map(run);
      const targetSetting = { speedRpm: targetRpm, flowM3PerH: 100, feedKgPerH: null };
      if (nextTrial(lawOf(start), targetSetting, rated)?.isWorth !== true) continue;
      let more = start;
      for (let i = 0; i < 3; i++) {
        const next = nextTrial(
          lawOf(more),
          { speedRpm: targetRpm, flowM3PerH: 100, feedKgPerH: null },
          rated,
        );
        if (next !== null) more = [...more, run(next.speedRpm)];
      }
      const limits = speedsAdvised(lawOf(start), targetSetting, rated);
      const spread = [0, 0.5, 1].map((part) =>
        run(limits.lowestRpm * (limits.highestRpm / limits.lowestRpm) ** part),
      );
      advised.push(widthAt(lawOf(more).posterior, targetRpm));
      even.push(widthAt(lawOf([...start, ...spread]).posterior, targetRpm));
    }
    const shown = advised.length;
    return { target, cases, shown, ratio: shown === 0 ? null : medianOf(advised) / medianOf(even) };
  });
}

function rowAt(rpm: number): number[] {
  return rowAtLn(Math.log(rpm / 6000));
}

function lawOf(trials: readonly Trial[]): TrialFit {
  return {
    basis: "trials",
    trials,
    reference: { speedRpm: 6000, flowM3PerH: 100, feedKgPerH: null },
    priors: usualPriors,
    posterior: thinPosterior(
      posteriorOf(
        trials.map((t) => rowAt(t.speedRpm)),
        trials.map((t) => Math.log(t.d50Um)),
        millPriors,
        millNoise,
      ),
      8,
    ),
    coarseWidth: null,
    fineWidth: null,
    widthsCorrelation: 0,
    leaveOneOutZ: [],
  };
}

function widthAt(posterior: Posterior, rpm: number): number {
  const curve = predict(posterior, rowAt(rpm), false);
  return mixtureQuantile(curve, 0.95) - mixtureQuantile(curve, 0.05);
}

function medianOf(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b);
  return sorted[Math.floor(sorted.length / 2)] ?? Number.NaN;
}
