import type { CheckGroup, WholeSet } from "./check.ts";
import { budgets } from "./checks/budgets.ts";
import { certifiedStatistics } from "./checks/certifiedStatistics.ts";
import { crushedQuartz } from "./checks/crushedQuartz.ts";
import { decisions } from "./checks/decisions.ts";
import { designs } from "./checks/designs.ts";
import { distancesOfTwo } from "./checks/distancesOfTwo.ts";
import { fineFractionChecks } from "./checks/fineFractions.ts";
import { gases } from "./checks/gases.ts";
import { grinding } from "./checks/grinding.ts";
import { individualsCharts } from "./checks/individualsCharts.ts";
import { logNormalMeans } from "./checks/logNormalMeans.ts";
import { phiStatistics } from "./checks/phiStatistics.ts";
import { referencePowders } from "./checks/referencePowders.ts";
import { rosinRammlerLines } from "./checks/rosinRammlerLines.ts";
import { sieves } from "./checks/sieves.ts";
import { specialFunctions } from "./checks/specialFunctions.ts";
import { textbookExamples } from "./checks/textbookExamples.ts";
import { wheelAndTrials } from "./checks/wheelAndTrials.ts";
import { airSamplers } from "./sets/airSamplers.ts";
import { deltaicSamples } from "./sets/deltaicSamples.ts";
import { knifeMill } from "./sets/knifeMill.ts";
import { nonlinearFits } from "./sets/nonlinearFits.ts";
import { raindrops } from "./sets/raindrops.ts";
import { sediments } from "./sets/sediments.ts";
import { soils } from "./sets/soils.ts";

/** Every check against numbers that are typed beside their source or read from one small file, by topic. */
export const groups: readonly CheckGroup[] = [
  ...crushedQuartz,
  ...sieves,
  ...phiStatistics,
  ...referencePowders,
  ...textbookExamples,
  ...logNormalMeans,
  ...rosinRammlerLines,
  ...distancesOfTwo,
  ...gases,
  ...wheelAndTrials,
  ...grinding,
  ...decisions,
  ...budgets,
  ...individualsCharts,
  ...designs,
  ...fineFractionChecks,
  ...specialFunctions,
  ...certifiedStatistics,
];

/** Published data sets of which every row is recomputed. */
export const sets: readonly WholeSet[] = [
  ...sediments,
  soils,
  deltaicSamples,
  raindrops,
  airSamplers,
  knifeMill,
];

/** The same, but slow: for the page alone. `tests/published/strd.test.ts` holds them. */
export const slowSets: readonly WholeSet[] = [nonlinearFits];
