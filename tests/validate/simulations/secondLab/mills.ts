import { wheelAnswerFrom } from "#model/answers/mill/wheelAnswer.ts";
import type { Band } from "#model/band/band.ts";
import type { Mill } from "#model/mill/mill.ts";
import { fitMill } from "#model/mill/prediction/fittedMill.ts";
import type { Trial } from "#model/mill/trials/trial.ts";
import { wheelCut } from "#model/mill/wheel/cut.ts";
import { type Chance, chanceFrom } from "../chance.ts";
import { errorsOf, type SaidAndTrue, type Scatter } from "./lab.ts";

/** Fixed before the first run. */
const seed = 21_210_002;

const mill: Mill = {
  wheelRadiusM: 0.1,
  wheelHeightM: 0.1,
  freeAreaShare: 0.6,
  swirlRatio: 0.9,
  ratedSpeedRpm: 9000,
  gas: "nitrogen",
  temperatureC: 40,
  pressurePa: 105_000,
  gasFlowM3PerH: 300,
  particleDensityGPerCm3: 6.1,
};

/** The mill as it is: ln D50 and both widths by ln of speed over 5000 rpm, feed and flow. */
interface Law {
  readonly d50: readonly [number, number, number];
  readonly coarse: readonly [number, number];
  readonly fine: readonly [number, number];
}

function lawFrom(chance: Chance): Law {
  const cut = wheelCut(mill, 5000, mill.gasFlowM3PerH).cutUm;
  return {
    d50: [
      Math.log(cut) + 0.7 * (2 * chance.even() - 1),
      -0.3 - 1.5 * chance.even(),
      0.3 * (chance.even() - 0.3),
    ],
    coarse: [0.3 + 0.7 * chance.even(), 0.4 * (chance.even() - 0.5)],
    fine: [0.3 + 0.9 * chance.even(), 0.4 * (chance.even() - 0.5)],
  };
}

function runAt(law: Law, speedRpm: number, feed: number, noise: number, z: readonly number[]): Trial {
  const x = Math.log(speedRpm / 5000);
  const [a = 0, b = 0, c = 0] = z;
  const d50 = law.d50[0] + law.d50[1] * x + law.d50[2] * Math.log(feed / 20) + noise * a;
  return {
    speedRpm,
    gasFlowM3PerH: null,
    feedKgPerH: feed,
    d10Um: Math.exp(d50 - Math.max(0.05, law.fine[0] + law.fine[1] * x + 0.7 * noise * b)),
    d50Um: Math.exp(d50),
    d90Um: Math.exp(d50 + Math.max(0.05, law.coarse[0] + law.coarse[1] * x + 0.7 * noise * c)),
  };
}

/** Of fewer nothing is counted: a share of them says nothing. */
const minCases = 15;
const noises = [0.002, 0.01, 0.05, 0.15];
/** Numbers of trials and their noise; 200 take long, so one noise and fewer campaigns serve. */
const designs = [
  ...[2, 3, 4, 8].flatMap((trials) => noises.map((noise) => ({ trials, noise, part: 1 }))),
  { trials: 200, noise: 0.05, part: 1 / 4 },
];

interface Tally {
  cases: number;
  said: number;
  true: number;
}

/** Predicted product, required speed, chance to reach a target and chance in band, by the number of trials and their noise. */
export function millFigures(campaigns: number): SaidAndTrue[] {
  return (["normal", "heavy-tailed"] as const).flatMap((kind, k) =>
    designs.flatMap(({ trials, noise, part }, n) => {
      const chance = chanceFrom(seed + 1000 * k + n);
      const tallies = new Map<string, Tally>();
      for (let c = 0; c < campaigns * part; c++) campaign({ kind, trials, noise, chance }, tallies);
      return [...tallies]
        .filter(([, { cases }]) => cases >= minCases)
        .map(
          ([said, t]): SaidAndTrue => ({
            said,
            where: `${trials} trials, noise ${100 * noise} %, ${kind}`,
            cases: t.cases,
            nominal: t.said / t.cases,
            actual: t.true / t.cases,
            // Few trials are given more than they turn out to need; too little alone is a fault.
            isBound: true,
          }),
        );
    }),
  );
}

function campaign(
  of: { kind: Scatter; trials: number; noise: number; chance: Chance },
  tallies: Map<string, Tally>,
): void {
  const { kind, trials, noise, chance } = of;
  const count = (name: string, said: number, isTrue: boolean) => {
    const t = tallies.get(name) ?? { cases: 0, said: 0, true: 0 };
    tallies.set(name, t);
    t.cases++;
    t.said += said;
    if (isTrue) t.true++;
  };
  const law = lawFrom(chance);
  const errors = [0, 1, 2].map(() => errorsOf(kind, trials + 3, chance));
  const z = (i: number) => errors.map((each) => each[i] ?? 0);
  const speeds = Array.from({ length: trials }, () => 3500 * 2 ** chance.even());
  const fitted = fitMill(
    mill,
    speeds.map((rpm, i) => runAt(law, rpm, 15 + 10 * chance.even(), noise, z(i))),
  );
  if (fitted === null) throw new Error("trials were given");
  const [slow, fast] = [Math.min(...speeds), Math.max(...speeds)];
  const feedKgPerH = 20;
  const at = slow * (fast / slow) ** chance.even();
  const next = runAt(law, at, feedKgPerH, noise, z(trials));
  const answer = wheelAnswerFrom(mill, fitted, { speedRpm: at, feedKgPerH, wantsBest: false });
  for (const key of ["d10Um", "d50Um", "d90Um"] as const) {
    const found = answer[key];
    const value = next[key];
    if (found === null || value === null) continue;
    count(`predicted ${key.slice(0, 3).toUpperCase()}`, 0.9, value >= found.low && value <= found.high);
  }
  count(
    "no trial is refused as odd",
    1,
    !answer.refused.some(({ reason }) => reason.includes("contradicts")),
  );
  const middle = answer.d50Um?.median;
  if (middle === undefined) return;
  const half = Math.exp(3 * chance.even()) * 0.01;
  const off = Math.exp(0.5 * half * chance.normal());
  const band: Band = {
    version: 1,
    name: "asked",
    stage: "milled",
    densityGPerCm3: null,
    rule: "simple",
    envelope: null,
    rows: (["d10Um", "d50Um", "d90Um"] as const).map((limit) => {
      const about = (answer[limit]?.median ?? Number.NaN) * off;
      return { limit, low: about * Math.exp(-2 * half), high: about * Math.exp(2 * half) };
    }),
  };
  const targetD50Um = middle * Math.exp(0.1 * (chance.even() - 0.5));
  const asked = { speedRpm: at, feedKgPerH, wantsBest: false, band, targetD50Um };
  const told = wheelAnswerFrom(mill, fitted, asked);
  const probability = told.inBand?.probability ?? null;
  if (probability !== null)
    count(
      probability >= 0.5 ? "chance in band, half or more" : "chance in band, under half",
      probability,
      isInside(band, next),
    );
  // At the ends of the speed's interval 5 and 95 % of runs are at the target or finer, at its middle half are: a run at each.
  const isFine = (rpm: number, i: number) =>
    runAt(law, rpm, feedKgPerH, noise, z(trials + i)).d50Um <= targetD50Um;
  const speed = told.speedRpm;
  if (speed === null) return;
  if (speed.high !== null) count("required speed, upper end", 0.95, isFine(speed.high, 1));
  if (speed.low !== null) count("required speed, lower end", 0.95, !isFine(speed.low, 2));
  count("chance of reaching the target at the rated speed", speed.reachProbability, isFine(9000, 1));
}

function isInside(band: Band, next: Trial): boolean {
  const sizes: Readonly<Record<string, number | null>> = {
    d10Um: next.d10Um,
    d50Um: next.d50Um,
    d90Um: next.d90Um,
  };
  return band.rows.every(({ limit, low, high }) => {
    const value = sizes[limit] ?? Number.NaN;
    return value >= (low ?? 0) && value <= (high ?? Number.POSITIVE_INFINITY);
  });
}
