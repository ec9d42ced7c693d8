import type { Mill } from "#model/mill/mill.ts";
import { contradicting } from "#model/mill/trials/refusals.ts";
import { fitTrials } from "#model/mill/trials/trialFit.ts";
import { markdownTable } from "../markdown.ts";
import { type Chance, chanceFrom } from "./chance.ts";
import { errorsOf } from "./secondLab/lab.ts";

/** How often a trial of sound sets was refused as odd, and how often one that lies off was found. */
export interface OddTrialCase {
  readonly scatter: "normal" | "skewed" | "heavy-tailed";
  readonly trials: number;
  readonly sets: number;
  readonly falseCalls: number;
  /** One trial lies ten standard deviations of the others off, to either side. */
  readonly found: number;
}

const seed = 21_300_001;
const noise = 0.05;
const off = 10;

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

export function oddTrialCases(
  designs: readonly (readonly [trials: number, sets: number])[] = [
    [6, 1000],
    [10, 1000],
    [40, 400],
    [200, 60],
  ],
): OddTrialCase[] {
  return (["normal", "skewed", "heavy-tailed"] as const).flatMap((scatter, s) =>
    designs.map(([trials, sets]) => {
      const chance = chanceFrom(seed + 1000 * s + trials);
      let falseCalls = 0;
      let found = 0;
      for (let set = 0; set < sets; set++) {
        const errors =
          scatter === "skewed"
            ? Array.from({ length: trials }, () => chance.skewed(1))
            : errorsOf(scatter, trials, chance);
        const called = calledAmong(errors, chance);
        if (called(errors) !== null) falseCalls++;
        const moved = errors.with(0, chance.even() < 0.5 ? -off : off);
        if (called(moved)?.startsWith("trial 1 ") === true) found++;
      }
      return { scatter, trials, sets, falseCalls, found };
    }),
  );
}

/** A set of trials at speeds and feeds of its own, under a law of its own: what is called odd, by their errors. */
function calledAmong(
  errors: readonly number[],
  chance: Chance,
): (errors: readonly number[]) => string | null {
  const exponent = -0.3 - 1.5 * chance.even();
  const settings = errors.map(() => ({
    speedRpm: 3500 * 2 ** chance.even(),
    feedKgPerH: 15 + 10 * chance.even(),
  }));
  return (each) => {
    const trials = settings.map(({ speedRpm, feedKgPerH }, i) => ({
      speedRpm,
      feedKgPerH,
      gasFlowM3PerH: null,
      d10Um: null,
      d50Um:
        3 *
        (speedRpm / 5000) ** exponent *
        (feedKgPerH / 20) ** 0.1 *
        Math.exp(noise * (each[i] ?? Number.NaN)),
      d90Um: null,
    }));
    return contradicting(fitTrials(mill, trials).leaveOneOutZ, () => "it")?.reason ?? null;
  };
}

/** The cases as a part of the page. */
export function oddTrialsText(cases: readonly OddTrialCase[]): string {
  return [
    "Odd trials: sets of trials with 5 % noise in D50, of which one is refused as contradicting the others though all are sound (false), and the one found when it lies ten standard deviations off, to either side. At most 5 % false is asked for, whatever the tail (skewed: exponential; heavy-tailed: Student's t of four degrees); among few trials one that is off widens the scatter that it is held against, and is seldom found.",
    "",
    markdownTable(
      ["scatter", "trials", "false", "found", "sets"],
      cases.map((c) => [c.scatter, c.trials, c.falseCalls, c.found, c.sets].map(String)),
    ),
  ].join("\n");
}
