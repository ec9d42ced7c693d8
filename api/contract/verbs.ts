import { familyNames } from "#distributions/families/family.ts";
import { quantities } from "#distributions/sizeDistribution.ts";
import { decisionRules } from "#model/band/band.ts";
import { pointSets } from "#model/fit/fitPoints.ts";
import { cvLimitsNames } from "#model/lot/cvLimits.ts";
import { lotsByOptions } from "#model/lot/lotsOf.ts";
import { stages } from "#model/lot/stages.ts";
import {
  file,
  flagOf,
  number,
  numbers,
  numbersByName,
  type Option,
  range,
  rangesByName,
  readingOptions,
  text,
  texts,
  word,
} from "./options.ts";

const share = { above: 0, below: 1 };
const percents = { above: 0, below: 100 };

/**
 * The options of each verb beyond those of reading, by their names in code. The command line and the API ask the same
 * questions with the same words: flags, help, checks and the API's document follow from this table.
 */
export const verbs = {
  describe: {
    percentiles: numbers("percentiles", percents),
    as: word("as", quantities),
    level: number("level", share),
    lotsBy: word("lots", lotsByOptions),
  },
  fit: {
    family: word("family", [...familyNames, "all"]),
    components: word("components", ["2", "3"]),
    points: word("points", pointSets),
    as: word("as", quantities),
    level: number("level", share),
  },
  runs: {
    limits: word("limits", cvLimitsNames),
    cvLimits: numbers("cv-limits"),
    lotsBy: word("lots", lotsByOptions),
  },
  fines: { shapeFactor: number("shape-factor"), level: number("level", share) },
  check: {
    band: file("band"),
    rule: word("rule", decisionRules),
    stage: word("stage", stages),
    kept: { ...texts("kept"), isFile: true },
    samplingCv: number("sampling-cv"),
    checks: file("checks"),
    opticalCv: number("optical-cv"),
    densityCv: number("density-cv"),
  },
  compare: { belowUm: numbers("below") },
  surface: {
    pairs: file("pairs"),
    stage: text("stage"),
    level: number("level", share),
    betLow: number("bet-low"),
    betHigh: number("bet-high"),
    betFound: number("bet-found"),
    instrument: text("instrument"),
    optics: text("optics"),
    dopantClass: text("dopant-class"),
  },
  circuit: { circuit: file("circuit") },
  band: {
    from: file("from"),
    tolerancePercent: number("tolerance-percent"),
    coverage: number("coverage", share),
    name: text("name"),
    stage: text("stage"),
  },
  blend: { band: file("band"), shares: numbers("shares", { least: 0 }) },
  scalp: {
    cut: word("cut", ["fines", "coarse"]),
    atUm: number("at"),
    sharpness: number("sharpness", share),
    band: file("band"),
  },
  against: {},
  parents: {
    shares: numbers("shares"),
    stage: word("stage", stages),
    taken: texts("taken"),
    level: number("level", share),
  },
  history: { of: texts("of"), factors: texts("factors"), level: number("level", share) },
  factors: { of: texts("of"), factors: texts("factors"), level: number("level", share) },
  "next-trial": {
    of: text("of"),
    factors: texts("factors"),
    within: rangesByName("within"),
    limits: range("limits"),
  },
  chain: {
    steps: texts("steps"),
    settings: texts("settings"),
    at: numbersByName("at"),
    limits: rangesByName("limits"),
    level: number("level", share),
  },
  pressure: {
    trials: file("trials"),
    pressureBar: number("pressure"),
    feedKgPerH: number("feed"),
    targetD50Um: number("target-d50"),
    ratedBar: number("rated"),
  },
  stages: {
    names: text("names"),
    belowUm: numbers("below"),
    massesG: numbers("masses"),
    percents: numbers("percentiles", percents),
    level: number("level", share),
  },
  wheel: {
    mill: file("mill"),
    trials: file("trials"),
    curves: file("curves"),
    priors: file("priors"),
    speedRpm: number("speed"),
    flowM3PerH: number("flow"),
    feedKgPerH: number("feed"),
    targetD50Um: number("target-d50"),
    level: number("level", share),
    band: file("band"),
    refire: file("refire"),
    finesBelowUm: number("fines-below"),
    gasPerM3: number("price-gas"),
    energyPerKWh: number("price-energy"),
    feedPerKg: number("price-feed"),
    perHour: number("price-hour"),
    currency: text("currency"),
  },
} as const;

export type Verb = keyof typeof verbs;

const asOptions = (verb: Verb): [string, Option<unknown>][] => Object.entries<Option<unknown>>(verbs[verb]);

/** The flags of a verb beyond those of reading. */
export function flagsOf(verb: Verb): string[] {
  return asOptions(verb).map(([, { flag }]) => flag);
}

/** Every option of a verb as a request may give it, by its flag. */
export function requestOptions(verb: Verb): readonly Option<unknown>[] {
  return [...Object.values(readingOptions), ...asOptions(verb).map(([, option]) => option)];
}

const every = [readingOptions, ...Object.values(verbs)].flatMap((options) =>
  Object.entries<Option<unknown>>(options),
);

/** The flag of an option that a request names: by its flag, by its name in code, or by the flag in camel case. */
export function flagNamed(name: string): string {
  const named = every.find(([known, { flag }]) => known === name && flag !== name);
  return named === undefined ? flagOf(name) : named[1].flag;
}

/** What the command line takes as a file stands in a request as itself, beside the options or among them. */
export const fileOptions: readonly string[] = every.filter(([, o]) => o.isFile).map(([, { flag }]) => flag);
