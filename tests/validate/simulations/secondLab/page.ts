import { markdownTable } from "../../markdown.ts";
import { outsideBy, type SaidAndTrue } from "./lab.ts";
import { budgets, releases } from "./lots.ts";
import { millFigures } from "./mills.ts";
import { betsAhead, drifts, effects, growths, nextTrials } from "./others.ts";
import { runIntervals, trendCalls } from "./runs.ts";

/** Everything that is counted in the second laboratory; a share of the full numbers for a slice. */
export function secondLab(part = 1): SaidAndTrue[] {
  const of = (full: number) => Math.max(8, Math.round(full * part));
  return [
    ...runIntervals(of(300)),
    ...trendCalls(of(1000)),
    ...releases(of(600)),
    ...budgets(of(250)),
    ...millFigures(of(60)),
    ...betsAhead(of(500)),
    ...growths(of(500)),
    ...effects(of(250)),
    ...drifts(of(250)),
    ...nextTrials(of(500)),
  ];
}

export const secondLabHeading = "## A second laboratory";

const percent = (share: number) => `${(100 * share).toFixed(1)} %`;

/** As a part of the page: of each thing that is said the least and the most, and every case outside. */
export function secondLabPart(counted = secondLab()): string {
  const outside = counted.filter((c) => Math.abs(outsideBy(c)) > 3);
  const things = [...new Set(counted.map((c) => c.said))];
  return [
    secondLabHeading,
    "",
    "Simulated with materials of 0.3 to 80 µm that are drawn anew for each lot, noise of 0.2 to 5 % (mills to 15 %), and scatter that is normal, skewed (skewness 1), heavy-tailed (Student's t of four degrees) or serial (half of each departure stays in the next). Whatever is printed with a chance or an interval is counted against truth, through the same answers that the page asks. Outside means more than three standard errors of so many cases; where only too little would be a fault, more is none.",
    "",
    markdownTable(
      ["said", "cases looked at", "in all", "outside"],
      things.map((said) => {
        const own = counted.filter((c) => c.said === said);
        return [
          said,
          String(own.length),
          String(own.reduce((sum, c) => sum + c.cases, 0)),
          String(own.filter((c) => outside.includes(c)).length),
        ];
      }),
    ),
    "",
    "Every case outside, with the mean of what was said and how often it came true:",
    "",
    markdownTable(
      ["said", "case", "n", "nominal", "true", "standard errors"],
      outside.map((c) => [
        c.said,
        c.where,
        String(c.cases),
        percent(c.nominal),
        percent(c.actual),
        outsideBy(c).toFixed(1),
      ]),
    ),
    "",
    "Serial scatter: runs or lots that hang together count as fewer than they are, which no interval from a few of them alone can know; the page says when runs trend, when lots hang together (then the limits of a drift allow for it), and what it does to an interval where few would not show it. A proposed trial's chance is said too low where the limits can be met at all, since the law is taken as unknown. Trials of a mill that are few and quiet are given wider intervals than they turn out to need (docs/science.md).",
  ].join("\n");
}
