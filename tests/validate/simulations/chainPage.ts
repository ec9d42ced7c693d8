import { markdownTable } from "../markdown.ts";
import { chainCases } from "./chain.ts";

const campaigns = 300;
const counts = [5, 10, 20];

/** The chain of steps as a part of the page, and what missed its bound. */
export function chainPart(): { readonly text: string; readonly unexpected: readonly string[] } {
  const cases = chainCases(campaigns, counts);
  // Nominal 90 %, asked 85 %, less two standard errors.
  const least = 0.85 - 2 * Math.sqrt((0.85 * 0.15) / campaigns);
  const unexpected = cases
    .filter((c) => c.held < least || overSaid(c.saidHigh) > 0 || overSaid(c.saidLow) > 0)
    .map((c) => `chain, ${c.process}, ${c.lots} lots: held ${c.held}, said and happened as in the table`);
  const text = [
    `Chain of steps, ${campaigns} campaigns a case: lots with spread settings are fired, crushed, milled and re-fired; a further lot within the settings tried is foretold. The 90 % interval of its last D50 is to hold it in at least 85 % (standard error 2 %). The chance that its D10, D50 and D90 lie within limits of random width, foretold and happened, apart for chances below and above a half: not foretold by more than 3 points over what happened, plus two standard errors; from few lots it is foretold too low, since their scatter is hardly known. Last, how often the step that truly leaves most doubt was named.`,
    "",
    markdownTable(
      [
        "process",
        "lots",
        "held",
        "below half: said, happened (n)",
        "above half: said, happened (n)",
        "right step",
      ],
      cases.map((c) => [
        c.process,
        String(c.lots),
        percent(c.held),
        binText(c.saidLow),
        binText(c.saidHigh),
        percent(c.rightStep),
      ]),
    ),
  ].join("\n");
  return { text, unexpected };
}

type Bin = { readonly cases: number; readonly said: number; readonly happened: number };

/** By how much more was said than happened, beyond what is allowed. */
function overSaid({ cases, said, happened }: Bin): number {
  if (cases === 0) return 0;
  return said - happened - 0.03 - 2 * Math.sqrt((said * (1 - said)) / cases);
}

const binText = ({ cases, said, happened }: Bin) => `${percent(said)}, ${percent(happened)} (${cases})`;
const percent = (share: number) => `${(100 * share).toFixed(1)} %`;
