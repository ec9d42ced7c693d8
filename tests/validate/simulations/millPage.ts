import { markdownTable } from "../markdown.ts";
import { advice, inBandCalibration, millCoverage } from "./mill.ts";

const casesFromPriors = 10_000;
const casesOfTruths = 2000;
const casesPerTenth = 2000;
const casesOfAdvice = 200;

const percent = (share: number) => `${(100 * share).toFixed(1)} %`;

/** The mill's law against truths that are drawn and truths that are not, its chance in band, and its advice. */
export function millPart(): { readonly text: string; readonly unexpected: readonly string[] } {
  const covered = millCoverage("priors", casesFromPriors);
  const others = [...millCoverage("fixed", casesOfTruths), ...millCoverage("curved", casesOfTruths)];
  const tenths = inBandCalibration(casesPerTenth);
  const advised = advice(casesOfAdvice);
  const unexpected = [
    ...covered
      .filter((c) => c.share < 0.885 || c.share > 0.915)
      .map((c) => `coverage, ${c.design}: ${c.share}`),
    ...others.filter((c) => c.share < 0.85).map((c) => `coverage, ${c.truth}, ${c.design}: ${c.share}`),
    ...tenths
      .filter((t) => Math.abs(t.happened - t.foretold) > 0.05 || t.cases < casesPerTenth)
      .map(
        (t) => `in band, tenth ${t.tenth}: ${t.foretold} foretold, ${t.happened} happened, ${t.cases} cases`,
      ),
    ...advised
      .filter((a) => a.ratio !== null && a.ratio > (a.target === "centre" ? 1.02 : 0.85))
      .map((a) => `advice, ${a.target}: ${a.ratio}`),
  ];
  const of = (truth: string, design: string) =>
    percent(others.find((c) => c.truth === truth && c.design === design)?.share ?? Number.NaN);
  const text = [
    "### The mill's law",
    "",
    `How often the 90 % interval held one further run within the speeds tried: truths drawn from the priors (${casesFromPriors.toLocaleString("en-GB")} a design; 88.5–91.5 % is asked for), a fixed truth and one whose exponent changes with speed (${casesOfTruths.toLocaleString("en-GB")} each, run noise 3 %; at least 85 %).`,
    "",
    markdownTable(
      ["design", "from the priors", "fixed", "curved"],
      covered.map((c) => [c.design, percent(c.share), of("fixed", c.design), of("curved", c.design)]),
    ),
    "",
    `The chance in band (D10, D50 and D90 at once) by tenths, ${casesPerTenth.toLocaleString("en-GB")} cases each; within 5 points is asked for.`,
    "",
    markdownTable(
      ["foretold", "happened", "cases"],
      tenths.map((t) => [percent(t.foretold), percent(t.happened), String(t.cases)]),
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
