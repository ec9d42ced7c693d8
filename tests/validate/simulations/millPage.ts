import { markdownTable } from "../markdown.ts";
import { advice, campaignsPerCase, lawCoverage, leastCoverage, millCoverage } from "./mill.ts";
import { inBandCalibration } from "./millInBand.ts";

const casesFromPriors = 4000;
const campaignsPerErrors = 5000;
const casesOfAdvice = 100;

const percent = (share: number) => `${(100 * share).toFixed(1)} %`;

/** The mill's law against truths that are drawn and truths that are not, its chance in band, and its advice. */
export function millPart(): { readonly text: string; readonly unexpected: readonly string[] } {
  const covered = millCoverage(casesFromPriors);
  const laws = lawCoverage();
  const fifths = inBandCalibration(campaignsPerErrors);
  const advised = advice(casesOfAdvice);
  const unexpected = [
    ...covered
      .filter((c) => c.share < 0.885 || c.share > 0.915)
      .map((c) => `coverage, ${c.design}: ${c.share}`),
    ...laws.flatMap((c) =>
      c.noises
        .filter(({ share }) => share < leastCoverage(c) - 2 * Math.sqrt((0.85 * 0.15) / campaignsPerCase))
        .map(({ noise, share }) => `coverage, ${c.law}, ${c.trials} trials, ${c.place}, ${noise}: ${share}`),
    ),
    ...fifths
      .filter(
        (t) => t.foretold - t.happened > 0.03 + 2 * Math.sqrt((t.foretold * (1 - t.foretold)) / t.cases),
      )
      .map((t) => `in band, ${t.errors}, fifth ${t.fifth}: ${t.foretold} foretold, ${t.happened} happened`),
    ...advised
      .filter((a) => a.ratio !== null && a.ratio > (a.target === "centre" ? 1.02 : 0.85))
      .map((a) => `advice, ${a.target}: ${a.ratio}`),
  ];
  const text = [
    "### The mill's law",
    "",
    `How often the 90 % interval held one further run within the speeds tried, of laws and noises drawn from the priors (${casesFromPriors.toLocaleString("en-GB")} a design; 88.5–91.5 % is asked for, standard error 0.5 %).`,
    "",
    markdownTable(
      ["design", "held"],
      covered.map((c) => [c.design, percent(c.share)]),
    ),
    "",
    `The same for fixed laws, trials over twofold speeds, ${campaignsPerCase.toLocaleString("en-GB")} campaigns a case, by the run noise; beside it the median half width of the interval. At least 85 % is asked for, of four trials 82 %, beyond the trials of a law that bends 78 %, each less two standard errors; more than 90 % is allowed.`,
    "",
    markdownTable(
      [
        "law of ln D50 on ln speed",
        "trials",
        "at",
        ...(laws[0]?.noises ?? []).map((n) => `noise ${percent(n.noise)}`),
      ],
      laws.map((c) => [
        c.law,
        String(c.trials),
        c.place,
        ...c.noises.map((n) => `${percent(n.share)}, ± ${percent(n.halfWidth)}`),
      ]),
    ),
    "",
    `The chance in band (D10, D50 and D90 at once) by fifths, laws from the priors, ${campaignsPerErrors.toLocaleString("en-GB")} campaigns for each way in which the errors of a run's D10, D50 and D90 may hang together. At most 3 points less may happen than was foretold, plus two standard errors; more is allowed, and shown. Beside it how often the 90 % intervals of D10 and of D90 held.`,
    "",
    markdownTable(
      ["errors of a run", "foretold", "happened", "D10 held", "D90 held", "cases"],
      fifths.map((t) => [
        t.errors,
        percent(t.foretold),
        percent(t.happened),
        percent(t.d10Held),
        percent(t.d90Held),
        String(t.cases),
      ]),
    ),
    "",
    `Three further trials as advised against three spread evenly over the permitted speeds: median width of the 90 % interval of the D50 curve at the target, ${casesOfAdvice} cases each. Advice is shown only where it is worth it.`,
    "",
    markdownTable(
      ["target", "advised over even", "shown"],
      advised.map((a) => [a.target, a.ratio === null ? "–" : a.ratio.toFixed(2), `${a.shown} of ${a.cases}`]),
    ),
  ].join("\n");
  return { text, unexpected };
}
