import { minOf } from "#distributions/lists.ts";
import type { DecisionRule } from "#model/band/band.ts";
import type { Conformance } from "#model/release/chanceFromRuns.ts";
import type { ReleaseFigures } from "#model/release/release.ts";
import { bandChance, capital, chanceText, counted, countWord, listed } from "#model/words/wording.ts";

const forAnyProcess = "Whatever the process, a guard of twice the standard error";

/** "From this lot's runs and the scatter pooled with nine other lots, the chance of being in band … is 93 % for the powder measured; …" */
export function releaseSentence(found: ReleaseFigures, keptLots: number): string {
  const { of, fromRuns, asProcess, whyNoProcess, scatterLots } = found;
  const what = of === "lot" ? "the whole lot" : "the powder measured";
  const all = fromRuns.rows.length === 1 ? "" : " on all limits together";
  const alone = `From ${runsGround(scatterLots)}, the ${bandChance}${all} is ${conformanceText(fromRuns)} for ${what}`;
  if (asProcess !== null)
    return `${alone}; if it was made like the ${counted(keptLots, "other lot")}, it is ${chanceText(asProcess.all)}.`;
  return `${alone}. ${whyNoText(whyNoProcess)}`.trim();
}

/** What the first figure rests on: where the lot lies is read from its own runs only, how they scatter from other lots too. */
export const runsGround = (scatterLots: number): string =>
  scatterLots === 0
    ? "these runs alone"
    : `this lot's runs and the scatter pooled with ${counted(scatterLots, "other lot")}`;

/** "93 %", and where only bounds are known the one that tells more: "at least 85 %", "at most 3 %". */
export function conformanceText({ all, rows, isAtLeast }: Conformance): string {
  const most = minOf(rows);
  if (!isAtLeast || chanceText(most) === chanceText(all)) return chanceText(all);
  return all < hardly ? `at most ${chanceText(most)}` : boundText(all, isAtLeast);
}

/** A chance, or "at least" it where it is a bound that says something. */
export function boundText(chance: number, isAtLeast: boolean): string {
  return isAtLeast && chance >= hardly && chance <= surely
    ? `at least ${chanceText(chance)}`
    : chanceText(chance);
}

const hardly = 0.01;
const surely = 0.99;

function whyNoText(why: ReleaseFigures["whyNoProcess"]): string {
  switch (why?.why) {
    case "contradicted":
      return why.by === "this lot"
        ? "This lot is unlike the other lots, so they are not counted in."
        : "The last four lots are unlike those before, so other lots are not counted in.";
    case "few lots":
      return `Other lots can be counted in once ${countWord(why.needed)} have values for these limits; ${why.lots === 0 ? "none has" : why.lots === 1 ? "one has" : `${countWord(why.lots)} have`}.`;
    default:
      return "";
  }
}

const ruleWords: Readonly<Record<DecisionRule, string>> = {
  simple: "the value alone",
  guarded: "the guarded rule",
  "two-sided": "the two-sided rule",
};

/** What the figures leave out, what would sharpen them, and both risks of a rule. */
export function releaseNotes(
  { of, fromRuns, asProcess, degrees, risks, guardedAtMost }: ReleaseFigures,
  leftOut: readonly string[],
  rule: DecisionRule,
): string[] {
  const risk = risks?.find((each) => each.rule === rule);
  return [
    leftOut.length === 0 ? "" : `Not in this chance: ${listed(leftOut)}.`,
    fromRuns.isAtLeast
      ? `The scatter has ${counted(Math.floor(degrees), "degree")} of freedom; from ten on, with other lots of two runs or more, the bound becomes a figure.`
      : "",
    of === "portion measured"
      ? "How portions of one lot differ is not known: measure two portions of some lots, or enter the sampling standard deviation."
      : "",
    asProcess === null
      ? ""
      : "The figure that counts in other lots is cautious: it may be up to 15 points too low, seldom too high.",
    risk === undefined
      ? ""
      : `Of lots made like the others, ${ruleWords[rule]} would release ${shareText(risk.releasedThoughOut)} though out and hold ${shareText(risk.heldThoughGood)} though good.`,
    rule === "guarded" ? `${forAnyProcess} releases at most ${shareText(guardedAtMost)} though out.` : "",
  ]
    .filter((note) => note !== "")
    .map(capital);
}

/** A small share with a decimal. */
export function shareText(share: number): string {
  return share < 0.001 ? "under 0.1 %" : `${(100 * share).toFixed(1)} %`;
}
