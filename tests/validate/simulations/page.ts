import { markdownTable } from "../markdown.ts";
import { bandCases, bandIsWithin, chanceBins, chanceIsWithin, setsPerBandCase } from "./bands.ts";
import { betCases, betIsWithin } from "./betValues.ts";
import { chainPart } from "./chainPage.ts";
import { bounds, type Covered, coverage, lotsPerCase } from "./coverage.ts";
import { factorsPart } from "./factorsPage.ts";
import { floorCases, floorsAreFound } from "./floors.ts";
import { humpCases } from "./humps.ts";
import { joiningCases, joiningIsWithin } from "./joinings.ts";
import { millPart } from "./millPage.ts";
import { oddCases } from "./oddRuns.ts";
import { oddTrialCases, oddTrialsText } from "./oddTrials.ts";
import { streamsPart } from "./streamsPage.ts";

/** The simulated checks as a part of the page, and what missed its bound. */
export function simulationsPart(): { readonly text: string; readonly unexpected: readonly string[] } {
  const covered = coverage();
  const humps = humpCases();
  const odd = oddCases();
  const oddTrials = oddTrialCases();
  const floors = floorCases();
  const mill = millPart();
  const factors = factorsPart();
  const chain = chainPart();
  const streams = streamsPart();
  const joinings = joiningCases();
  const bets = betCases();
  const bands = bandCases();
  const chances = chanceBins();
  const unexpected = [
    ...factors.unexpected,
    ...chain.unexpected,
    ...streams.unexpected,
    ...covered
      .filter((c) => !isInside(c))
      .map((c) => `coverage ${c.powder}, ${c.runs} runs, ${c.quantity}: ${c.share}`),
    ...humps
      .filter((h) => (h.hasTwo ? h.claimed < 0.9 * h.lots : h.claimed > 0.02 * h.lots))
      .map((h) => `humps, ${h.powder}: ${h.claimed} of ${h.lots}`),
    ...odd
      .filter((o) => o.falseCalls > 0.06 * o.lots)
      .map((o) => `odd runs, ${o.scatter}, ${o.runs}: ${o.falseCalls} of ${o.lots}`),
    ...oddTrials
      .filter((o) => o.falseCalls / o.sets > 0.05 + 2 * Math.sqrt((0.05 * 0.95) / o.sets))
      .map((o) => `odd trials, ${o.scatter}, ${o.trials}: ${o.falseCalls} of ${o.sets}`),
    ...(floorsAreFound(floors) ? [] : ["floors of fits: not found as often as is asked"]),
    ...bands
      .filter((b) => !bandIsWithin(b))
      .map((b) => `band about a reference, ${b.powder}, ${b.runs} runs: ${b.share}`),
    ...chances
      .filter((b) => !chanceIsWithin(b))
      .map((b) => `joint chance, ${b.runs} runs, ${b.spread}: said ${b.said}, true ${b.true}`),
    ...bets
      .filter((b) => !betIsWithin(b))
      .map((b) => `BET ahead, ${b.truth}, ${b.place}, ${b.pairs} pairs: ${b.share}`),
    ...joinings
      .filter((j) => !joiningIsWithin(j))
      .map((j) => `joining, ${j.powder}, ${j.runs} runs: ${j.claimed} of ${j.lots}`),
  ];
  const text = [
    "## Simulated",
    "",
    `Seeds fixed before the first run. Coverage: how often the 95 % interval over the runs held the value of the lot's own curve, in ${lotsPerCase.toLocaleString("en-GB")} lots a case (standard error 0.34 %); 94–96 % is asked for, 92–98 % where the scatter is skewed (skewness 1). Strongly skewed scatter (skewness 1.41), runs that are correlated one to the next (0.5), and two subsamples whose difference is as large as a run's own scatter are shown to say where the intervals cover too little: runs that hang together count as fewer.`,
    "",
    markdownTable(
      ["powder", "scatter of runs", "runs", "lowest", "highest", "quantity of the lowest"],
      cases(covered).map((own) => {
        const sorted = [...own].sort((a, b) => a.share - b.share);
        const [low] = sorted;
        const high = sorted.at(-1);
        return [
          low?.powder ?? "",
          low?.scatter ?? "",
          String(low?.runs ?? ""),
          percent(low?.share ?? 0),
          percent(high?.share ?? 0),
          low?.quantity ?? "",
        ];
      }),
    ),
    "",
    `Each row holds ${new Set(covered.map((c) => c.quantity)).size} quantities: ${[...new Set(covered.map((c) => c.quantity))].join(", ")}.`,
    "",
    "Second humps, claimed of three runs with noise that hangs together from class to class; at most 2 % false, at least 90 % of the true ones are asked for.",
    "",
    markdownTable(
      ["powder", "second hump there", "claimed", "lots"],
      humps.map((h) => [h.powder, h.hasTwo ? "yes" : "no", String(h.claimed), String(h.lots)]),
    ),
    "",
    "Odd runs: called among runs of one scatter (false), and when one of them is 8 % coarser (found). At most 5 % false is asked for, whatever the shape of the scatter (standard error 0.7 %); skewed and heavy-tailed scatter makes lone far runs by itself.",
    "",
    markdownTable(
      ["scatter", "runs", "false", "found", "lots"],
      odd.map((o) => [o.scatter, String(o.runs), String(o.falseCalls), String(o.found), String(o.lots)]),
    ),
    "",
    oddTrialsText(oddTrials),
    "",
    "Floors of fits: powders with noise of about 0.3 points in Q, most of it alike over a quarter in ln size, on 30 to 100 classes. The lowest floor known is, for Gates–Gaudin–Schuhmann, that of a walk over twenty tops between each two edges, for a mixture of two, the lowest of fifty random starts. Found is a misfit within 0.1 % of it or below; 99 % and 95 % of each family's powders are asked for, and that no fit says it converged on another floor.",
    "",
    markdownTable(
      [
        "fitted",
        "powder",
        "found",
        "said to have several floors",
        "said to converge on a worse one",
        "powders",
      ],
      floors.map((f) => [
        f.family,
        f.powder,
        String(f.found),
        String(f.several),
        String(f.falselyConverged),
        String(f.powders),
      ]),
    ),
    "",
    mill.text,
    "",
    factors.text,
    "",
    chain.text,
    "",
    streams.text,
    "",
    "Joining on re-firing: claimed where the interval of the joined share lies above 0; runs a stage scatter by 1.2 % in size, 0.8 % in width and 8 % of the fines. Where 5 % joined at 2 times at least 80 % are asked for, without at most 5 % (standard error at most 2.8 % and 1.5 %).",
    "",
    markdownTable(
      ["powder", "joined at 2 times", "growth", "runs a stage", "claimed", "lots"],
      joinings.map((j) => [
        j.powder,
        `${100 * j.joinedShare} %`,
        `${j.growthPercent} %`,
        String(j.runs),
        String(j.claimed),
        String(j.lots),
      ]),
    ),
    "",
    `BET ahead: how often the 95 % interval from the pairs held the next value; BET scatters by 6 % and follows a ratio, an offset of a third of its value, or a power of the area. Within the pairs' areas the form is chosen by leave-one-out from six pairs on: 93–97 % is asked for of a ratio, 93–98 % of the others. From 1.05 to 1.5 times beyond them the union of two laws serves, from four pairs on: at least 94 % (standard error 0.34 %).`,
    "",
    markdownTable(
      ["BET follows", "powder", "pairs", "held", "sets"],
      bets.map((b) => [b.truth, b.place, String(b.pairs), percent(b.share), String(b.sets)]),
    ),
    "",
    `Band about a reference, without an agreed tolerance: how often one further run lay within it at every judged size, in ${setsPerBandCase.toLocaleString("en-GB")} reference sets a case. 92–98 % is asked for (standard error 0.5 %).`,
    "",
    markdownTable(
      ["powder", "reference runs", "held", "sets"],
      bands.map((b) => [b.powder, String(b.runs), percent(b.share), String(b.sets)]),
    ),
    "",
    "Chance of being in band from a lot's runs, as `check` says it of whole measured curves, at D10, D50 and D90 (limits ± 2.5 %): lots spread evenly about the band, by tenths of the chance said of them. With the scatter of ten kept lots it is a figure: within 3 points of the share that truly conformed, plus two standard errors. From the lot's own three or six runs it is a lower bound: not over by more.",
    "",
    markdownTable(
      ["runs", "spread of runs", "chance said, mean", "true", "lots"],
      chances.map((b) => [String(b.runs), b.spread, percent(b.said), percent(b.true), String(b.lots)]),
    ),
  ].join("\n");
  return { text, unexpected };
}

function cases(covered: readonly Covered[]): Covered[][] {
  const keys = [...new Set(covered.map(keyOf))];
  return keys.map((key) => covered.filter((c) => keyOf(c) === key));
}

const keyOf = (c: Covered) => `${c.powder}|${c.scatter}|${c.runs}`;

function isInside({ scatter, share }: Covered): boolean {
  const [low, high] = bounds[scatter];
  return share >= low && share <= high;
}

const percent = (share: number) => `${(100 * share).toFixed(2)} %`;
