import { type Problem, problem } from "#distributions/problem.ts";
import { factorOf } from "#distributions/tables/reading/knownColumns.ts";
import { foreignUnitIn } from "#distributions/tables/text/units.ts";
import type { Band, BandRow, BetLimits } from "./band.ts";
import { limitsFault, limitWords, percentileOf, rowKey } from "./limits.ts";
import { linesOf } from "./targetLines.ts";
import { lengthFactor, limitedIn, limitsIn, rangeIn, type TargetRange } from "./targetWords.ts";

/** A customer's target as a band, and what it leaves open. */
export interface TargetRead {
  /** Null where no line could be understood. */
  readonly band: Band | null;
  /** What the target does not say, in whole sentences. */
  readonly open: readonly string[];
  readonly problems: readonly Problem[];
}

/**
 * A customer's target as it comes: lines of text, a table of limits (lower, upper, target, tolerance in columns), or a row
 * of values under the names of what they limit.
 *
 * @param asked  the agreed tolerance in per cent of a value that comes without one; null leaves such values out
 */
export function bandFromTarget(
  text: string,
  of: Pick<Band, "name" | "stage" | "densityGPerCm3">,
  asked: { readonly tolerancePercent: number | null } = { tolerancePercent: null },
): TargetRead {
  const rows: BandRow[] = [];
  const [problems, open]: [Problem[], string[]] = [[], []];
  let bet: BetLimits | null = null;
  const hasDecimalCommas = /\d,(?:\d{1,2}|\d{4,})(?!\d)/.test(text);
  for (const { line, row } of linesOf(text)) {
    const limited = limitedIn(line);
    const range = limited === null ? null : rangeIn(limited.rest);
    const why = whyNot(line, limited?.rest ?? null, { range, hasDecimalCommas });
    if (limited === null || range === null || range === "several" || why !== null) {
      if (/\d/.test(line))
        problems.push(
          problem(
            "refused",
            `"${line}" ${why ?? "names no limit that is known"}; the other lines are taken.`,
            {
              row,
              found: line,
              expected: "a line such as D50 3.1 ± 0.2 µm, D90 at most 6 µm, below 1 µm at most 3 %",
            },
          ),
        );
      continue;
    }
    const name = limited.of === "BET" ? "BET area" : limitWords(limited.of).name;
    const taken = withTolerance(range, asked.tolerancePercent);
    if (taken === null) {
      open.push(
        `${name} is given as ${range.middle} without a tolerance, and limits nothing until one is agreed.`,
      );
      continue;
    }
    if (range.middle !== null && range.low === null)
      open.push(`${name} came without a tolerance; ± ${asked.tolerancePercent} % was taken.`);
    if (limited.of === "BET") {
      const factor = factorOf("betM2PerG", limited.rest) ?? 1;
      bet = { low: rounded(taken.low, factor), high: rounded(taken.high, factor) };
      continue;
    }
    const made = scaled(limited.of, taken, limited.rest);
    const fault = limitsFault(made);
    if (fault !== null || rows.some((one) => rowKey(one) === rowKey(made)))
      problems.push(
        problem("refused", `${name}: ${fault ?? "it is limited twice; the first is taken."}`, {
          row,
          found: line,
          expected: "one pair of limits",
        }),
      );
    else rows.push({ ...made, source: `The customer's target: ${line}` });
  }
  if (rows.length === 0 && bet === null)
    return { band: null, open, problems: problems.length > 0 ? problems : [nothingFound] };
  const band: Band = {
    version: 1,
    ...of,
    rule: "two-sided",
    rows,
    envelope: null,
    source: "Made from a customer's target.",
    ...(bet === null ? {} : { betM2PerG: bet }),
  };
  return { band, open: [...open, ...openIn(band)], problems };
}

const nothingFound = problem(
  "refused",
  "No limit was found. Give lines such as D50 3.1 ± 0.2 µm, or a table of limits.",
  {
    expected: "names of sizes with numbers",
  },
);

/** What keeps the numbers of a line from being limits; null where nothing does. */
function whyNot(
  line: string,
  rest: string | null,
  {
    range,
    hasDecimalCommas,
  }: { readonly range: TargetRange | "several" | null; readonly hasDecimalCommas: boolean },
): string | null {
  if (rest === null) return null;
  const thousands = hasDecimalCommas ? undefined : /(?<![\d.,])[1-9]\d{0,2},\d{3}(?![\d,])/.exec(rest)?.[0];
  if (thousands !== undefined)
    return `holds ${thousands}, which can be ${thousands.replace(",", ".")} or ${thousands.replace(",", "")}: write decimals with a point`;
  if (limitsIn(line) > 1) return "names more than one limit: give each a line of its own";
  const lengths = new Set(rest.match(/(?<![a-zµμ/])(?:nm|mm|[uµμ]m)(?![a-z])/gi)?.map(lengthFactor));
  if (lengths.size > 1) return "mixes units: write both limits in one";
  const foreign = foreignUnitIn(rest.replace(/(?<=\d)\s*[-–−]\s*(?=\d)/g, " "));
  if (foreign !== null) return `is in ${foreign}, which is not known here: convert it to µm`;
  return range === "several"
    ? "holds several numbers, and nothing says which is the least and which the most: write 2.9–3.3, or min 2.9 max 3.3"
    : null;
}

function withTolerance({ low, high, middle }: TargetRange, percent: number | null): BetLimits | null {
  if (low !== null || high !== null) return { low, high };
  if (middle === null || percent === null) return null;
  const reach = (middle * percent) / 100;
  return { low: middle - reach, high: middle + reach };
}

const rounded = (value: number | null, factor: number) =>
  value === null ? null : Number((value * factor).toPrecision(6));

function scaled(of: Pick<BandRow, "limit" | "sizeUm">, { low, high }: BetLimits, rest: string): BandRow {
  const { unit } = limitWords(of);
  const [written = ""] = /(?<![a-zµμ])(?:nm|mm)(?![a-z])/i.exec(rest) ?? [];
  const factor = unit === "%" ? 0.01 : unit === "µm" ? lengthFactor(written.toLowerCase()) : 1;
  return { ...of, low: rounded(low, factor), high: rounded(high, factor) };
}

/** What a target says nothing about. */
function openIn({ rows, stage, betM2PerG, densityGPerCm3 }: Band): string[] {
  const percents = rows.flatMap(({ limit }) => percentileOf(limit) ?? []);
  const has = (limit: string) => rows.some((row) => row.limit === limit);
  const oneSided = rows.filter(
    ({ limit, low, high }) => percentileOf(limit) !== null && (low === null || high === null),
  );
  return [
    ...oneSided.map((row) => `${limitWords(row).name} has no ${row.low === null ? "lower" : "upper"} limit.`),
    ...(percents.some((p) => p < 0.4) || has("belowShare")
      ? []
      : ["The fine end is open: nothing limits D10 or the share below a size."]),
    ...(percents.some((p) => p >= 0.4 && p <= 0.6) ? [] : ["The middle is open: nothing limits D50."]),
    ...(percents.some((p) => p > 0.6) || has("aboveShare")
      ? []
      : ["The coarse end is open: nothing limits D90 or the share above a size."]),
    "The curve between these sizes is not limited.",
    ...(betM2PerG === undefined ? ["No BET area is asked."] : []),
    ...(stage === "" ? ["It does not say of which stage the powder is."] : []),
    ...(densityGPerCm3 === null ? ["It states no density."] : []),
    "It does not say how a value near a limit is decided, nor by which instrument: the rule two-sided is taken until another is agreed.",
  ];
}
