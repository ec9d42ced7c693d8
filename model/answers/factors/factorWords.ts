import { minLotsForEffects, timeOrder } from "#model/factors/effects.ts";
import { columnWords } from "#model/words/columnWords.ts";
import { capital, counted, figures, listed, signedFigures } from "#model/words/wording.ts";
import type { FactorFinding } from "./factorFinding.ts";

const nameOf = (column: string) => (column === timeOrder ? column : columnWords(column).name);

const noProof = "This is a correlation, not proof of a cause.";

/** What is said of one setting and one result. */
export function effectWords(finding: Omit<FactorFinding, "sentence">, unit: string): string {
  const { verdict, lots, slope, interval } = finding;
  const [of, factor] = [nameOf(finding.of), nameOf(finding.factor)];
  if (verdict === "too few lots")
    return `There are too few lots to judge ${factor} and ${of}: ${counted(lots, "lot")} with all settings known, but at least ${counted(minLotsForEffects, "lot")} are needed.${smallestWords(finding, unit)}`;
  if (verdict === "does not vary")
    return `${capital(factor)} was the same for all ${counted(lots, "lot")}: nothing can be said of it.`;
  const rivals = listed(finding.rivals.map(nameOf));
  if (slope === null || interval === null)
    return `${capital(factor)} and ${rivals} moved together: these lots do not tell them apart in ${of}.`;
  if (verdict === "not shown")
    return `No effect of ${factor} on ${of} is shown: ${signedFigures(slope)} ${finding.per} (${signedFigures(interval.low)} to ${signedFigures(interval.high)}, ${counted(lots, "lot")}).${smallestWords(finding, unit)}`;
  const way = slope > 0 ? "rises" : "falls";
  const size = `${capital(of)} ${way} with ${factor} by ${figures(Math.abs(slope))} ${finding.per} (${rangeWords(interval)}, ${counted(lots, "lot")})`;
  return verdict === "goes with it"
    ? `${size}. ${noProof}`
    : `${size}, but ${rivals} moved along: these lots do not tell them apart.`;
}

/** "0.0040–0.020" of the size of a slope; with signs where the interval holds zero. */
function rangeWords({ low, high }: { readonly low: number; readonly high: number }): string {
  if (low <= 0 && high >= 0) return `${signedFigures(low)} to ${signedFigures(high)}`;
  const [a, b] = [Math.abs(low), Math.abs(high)].toSorted((x, y) => x - y);
  return a === undefined || b === undefined ? "" : `${figures(a)}–${figures(b)}`;
}

function smallestWords({ smallest }: Pick<FactorFinding, "smallest">, unit: string): string {
  if (smallest === null) return "";
  const { overRange, moreLotsForHalf } = smallest;
  const more =
    moreLotsForHalf === null
      ? ""
      : `; ${counted(moreLotsForHalf, "lot")} more at such settings would show half of that`;
  return (
    ` Lots like these would show a change of ${figures(overRange)} ${unit}`.trimEnd() +
    ` over its range four times in five${more}.`
  );
}

/** All findings in one paragraph: what is claimed first, then what is not shown, then what cannot be judged. */
export function factorsSentence(effects: readonly FactorFinding[]): string {
  const claims = effects.filter((e) => e.verdict === "goes with it" && e.slope !== null);
  const mixed = effects.filter((e) => e.verdict === "not separated");
  const quiet = effects.filter((e) => e.verdict === "not shown");
  const same = [
    ...new Set(effects.filter((e) => e.verdict === "does not vary").map((e) => nameOf(e.factor))),
  ];
  const few = effects.filter((e) => e.verdict === "too few lots");
  const sentences = [
    // Said once for all of them.
    ...claims.map((e, i) => (i < claims.length - 1 ? e.sentence.replace(` ${noProof}`, "") : e.sentence)),
    ...leading(mixed).map((e) => e.sentence),
    quietWords(quiet),
    same.length === 0 ? "" : `${capital(listed(same))} did not vary.`,
    few.length > 0 &&
    few.length === effects.length - effects.filter((e) => e.verdict === "does not vary").length
      ? (few[0]?.sentence ?? "")
      : "",
  ];
  const said = sentences.filter((sentence) => sentence !== "").join(" ");
  return said === "" ? "There is no setting and no result to compare." : said;
}

/** Of settings that are not told apart in a result, the one that explains it best speaks for all. */
function leading(mixed: readonly FactorFinding[]): readonly FactorFinding[] {
  const rank = ({ pValue, slope }: FactorFinding) => (slope === null ? 2 : (pValue ?? 1));
  return [...new Set(mixed.map((e) => e.of))].flatMap(
    (of) => mixed.filter((e) => e.of === of).toSorted((a, b) => rank(a) - rank(b))[0] ?? [],
  );
}

function quietWords(quiet: readonly FactorFinding[]): string {
  const results = [...new Set(quiet.map((e) => e.of))];
  if (results.length === 0) return "";
  const said = results.map((of) => {
    const own = quiet.filter((e) => e.of === of).map((e) => nameOf(e.factor));
    return `${listed(own)} on ${nameOf(of)}`;
  });
  return `No effect is shown of ${said.join("; ")}.`;
}
