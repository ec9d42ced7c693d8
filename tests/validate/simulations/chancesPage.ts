import { markdownTable } from "../markdown.ts";
import { budgetCases, budgetIsWithin, setsPerBudgetCase } from "./budgets.ts";
import { lotsPerReleaseCase, releaseBins, releaseIsWithin, type SaidBin } from "./release.ts";
import {
  dipCases,
  lotsPerShape,
  lumpCases,
  type ShapeCase,
  shoulderCases,
  shoulderShapes,
} from "./shapes.ts";

/** The simulated chances as a part of the page, and what missed its bound. */
export function chancesPart(): { readonly text: string; readonly unexpected: readonly string[] } {
  const parts = [releasePart(), budgetPart(), shapesPart()];
  return {
    text: parts.map((part) => part.text).join("\n\n"),
    unexpected: parts.flatMap((part) => part.unexpected),
  };
}

interface Part {
  readonly text: string;
  readonly unexpected: readonly string[];
}

const percent = (share: number) => `${(100 * share).toFixed(1)} %`;
const points = (share: number) => `${share < 0 ? "−" : "+"}${(100 * Math.abs(share)).toFixed(1)}`;

function releasePart(): Part {
  const bins = releaseBins();
  const key = (b: SaidBin) => `${b.figure}|${b.judged}|${b.rows}|${b.scatter}`;
  const kinds = [...new Set(bins.map(key))];
  return {
    text: [
      `### Release: chance that a lot conforms`,
      "",
      `Lots on 1, 3, 5 and 7 rows, 2, 3 and 6 runs, correlations 0 and 0.8 of rows, against 24 kept lots; a run's SD is half a lot's; ${lotsPerReleaseCase.toLocaleString("en-GB")} lots a case, pooled over runs and correlations, in bins of what was said. _Flat_: lots anywhere about the limits; from these runs alone within 3 points both ways is asked for. *2, 2.5, 3 SD*: lots of the kept lots' process, its limits so many lot SDs away; the process figure is over by at most 1 point from 90 % on and 2 below. _Drift_: every row moved by so many lot SDs, the last four kept lots too unless it is sudden; no figure over by more than 3 points from 90 % on, after two SDs the runs' alone by 4. _From anywhere_: lots spread as flat beside kept lots of a process, which the process figure is not about: shown of those that do not contradict the process, over by at most 3 points from 90 % on. Each with twice the standard error of so many lots. Skewed: skewness 1. Two portions: an SD of half a lot's between portions, two runs each.`,
      "",
      markdownTable(
        [
          "figure",
          "lots judged",
          "rows",
          "scatter",
          "lots",
          "said 90 % or more: said",
          "true",
          "said most over true",
          "most under",
        ],
        kinds.map((kind) => releaseRow(bins.filter((b) => key(b) === kind))),
      ),
    ].join("\n"),
    unexpected: bins
      .filter((b) => !releaseIsWithin(b))
      .map((b) => `release, ${key(b)}, from ${b.from}: said ${b.said}, true ${b.true}, ${b.lots} lots`),
  };
}

/** The worst differences are of bins of 300 lots, below which chance decides. */
function releaseRow(bins: readonly SaidBin[]): string[] {
  const [first] = bins;
  if (first === undefined) return [];
  const lots = bins.reduce((sum, b) => sum + b.lots, 0);
  const high = bins.filter((b) => b.from >= 0.9);
  const many = high.reduce((sum, b) => sum + b.lots, 0);
  const mean = (of: (b: SaidBin) => number) =>
    many === 0 ? "none" : percent(high.reduce((sum, b) => sum + b.lots * of(b), 0) / many);
  const over = bins.filter((b) => b.lots >= 300).map((b) => b.said - b.true);
  return [
    first.figure,
    first.judged,
    String(first.rows),
    first.scatter,
    String(lots),
    mean((b) => b.said),
    mean((b) => b.true),
    over.length === 0 ? "" : points(Math.max(...over)),
    over.length === 0 ? "" : points(Math.min(...over)),
  ];
}

function budgetPart(): Part {
  const cases = budgetCases();
  return {
    text: [
      "### Uncertainty budget",
      "",
      `How often U of 95 % reached the true value, in ${setsPerBudgetCase.toLocaleString("en-GB")} sets a case (standard error 0.22 %). The instrument's offset is not taken off and counts in full, which widens U: 94–99 % is asked for, 92 % where one source of two degrees of freedom rules, since Welch and Satterthwaite's degrees then come out too many.`,
      "",
      markdownTable(
        ["what rules", "reached", "sets"],
        cases.map((c) => [c.design, percent(c.share), String(c.sets)]),
      ),
    ].join("\n"),
    unexpected: cases.filter((c) => !budgetIsWithin(c)).map((c) => `budget, ${c.design}: ${c.share}`),
  };
}

/** What is asked of a case: at most so many said without cause, or at least so many of the true ones. */
interface Asked extends ShapeCase {
  readonly what: string;
  readonly isThere: boolean;
  readonly share: number;
}

function shapesPart(): Part {
  const shoulders = (points: number, asked: (shape: string) => number) =>
    shoulderCases(lotsPerShape, points).map((c): Asked => {
      const isThere = shoulderShapes.some(({ shape }) => shape === c.shape);
      return { ...c, what: "shoulder", isThere, share: isThere ? asked(c.shape) : 0.02 };
    });
  const cases: readonly Asked[] = [
    ...shoulders(0.3, (shape) => (shape.includes("×5") ? 0.95 : shape.startsWith("10 %") ? 0.9 : 0.8)),
    ...shoulders(0.6, (shape) => (shape.includes("×5") ? 0.95 : 0)),
    ...lumpCases().map((c): Asked => ({ ...c, what: "lumps", share: c.isThere ? 0.95 : 0.01 })),
    ...dipCases().map((c): Asked => ({ ...c, what: "two humps by a dip", share: c.isThere ? 0.95 : 0.02 })),
  ];
  return {
    text: [
      "### Shoulders, lumps and humps",
      "",
      "Said of three runs whose undersize curves scatter by so many points, half of the variance a shift in size, the rest correlated over 0.25 in ln x. Without cause at most 2 % (lumps 1 %) is asked for; of what is there at least the share shown, with two standard errors of so many lots. Main powder: log-normal, 3 µm, GSD 1.6 where nothing else stands. At 0.6 points a shoulder at three times the median is shown, not asked for.",
      "",
      markdownTable(
        ["said", "powder", "noise", "there", "said in", "of lots", "asked for"],
        cases.map((c) => [
          c.what,
          c.shape,
          c.noise,
          c.isThere ? "yes" : "no",
          String(c.said),
          String(c.lots),
          c.isThere ? (c.share === 0 ? "shown only" : `≥ ${100 * c.share} %`) : `≤ ${100 * c.share} %`,
        ]),
      ),
    ].join("\n"),
    unexpected: cases
      .filter((c) => !shapeIsWithin(c))
      .map((c) => `${c.what}, ${c.shape}, ${c.noise}: ${c.said} of ${c.lots}`),
  };
}

function shapeIsWithin({ said, lots, share, isThere }: Asked): boolean {
  const byChance = 2 * Math.sqrt((share * (1 - share)) / lots);
  return isThere ? said / lots >= share - byChance : said / lots <= share + byChance;
}
