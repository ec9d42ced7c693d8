import { type Problem, problem } from "#distributions/problem.ts";
import type { Band, BandRow, BetLimits } from "./band.ts";
import { limitsFault, limitWords, percentileOf, rowKey } from "./limits.ts";

/** A customer's target as a band, and what it leaves open. */
export interface TargetRead {
  /** Null where no line could be understood. */
  readonly band: Band | null;
  /** What the target does not say, in whole sentences. */
  readonly open: readonly string[];
  readonly problems: readonly Problem[];
}

/** What is limited, and in which unit its numbers are written. */
interface Limited {
  readonly of: Pick<BandRow, "limit" | "sizeUm"> | "BET";
  readonly rest: string;
}

const number = "(\\d+(?:[.,]\\d+)?|[.,]\\d+)";
const length = "\\s*(µm|μm|um|microns?|nm|mm)?";
const lengthFactor = (unit = "") => (unit === "nm" ? 1e-3 : unit === "mm" ? 1e3 : 1);
const decimal = (text = "") => Number(text.replace(",", "."));

/** What people write for a limit; common practice, no source. */
const shares = [
  [
    "belowShare",
    new RegExp(
      `^(?:share |volume )?(?:below|under|finer than|smaller than|passing|unter|kleiner|<)\\s*${number}${length}`,
      "i",
    ),
  ],
  [
    "aboveShare",
    new RegExp(
      `^(?:share |volume )?(?:above|over|coarser than|larger than|residue at|über|größer|>)\\s*${number}${length}`,
      "i",
    ),
  ],
] as const;
const percentile = /^[dx]\s*[[(_]?\s*(?:v\s*[,;]\s*)?(0[.,]\d+|\d{1,2}(?:\.\d+)?)\s*[\])]?(?!\s*[,;]\s*\d)/i;
const named: readonly (readonly [BandRow["limit"] | "BET", RegExp])[] = [
  ["sauterUm", /^(?:d\s*[[(]?\s*3\s*[,;.]\s*2\s*[\])]?|sauter[^\d≤≥<>±]*)/i],
  ["deBrouckereUm", /^(?:d\s*[[(]?\s*4\s*[,;.]\s*3\s*[\])]?|de ?brouckere[^\d≤≥<>±]*)/i],
  ["span", /^span/i],
  ["BET", /^(?:bet|ssa|specific surface|spezifische oberfläche)(?: area)?/i],
];

function limitedIn(line: string): Limited | null {
  for (const [limit, pattern] of shares) {
    const found = pattern.exec(line);
    if (found !== null)
      return {
        of: { limit, sizeUm: decimal(found[1]) * lengthFactor(found[2]) },
        rest: line.slice(found[0].length),
      };
  }
  for (const [limit, pattern] of named) {
    const found = pattern.exec(line);
    if (found !== null) return { of: limit === "BET" ? limit : { limit }, rest: line.slice(found[0].length) };
  }
  const found = percentile.exec(line);
  if (found === null) return null;
  const written = decimal(found[1]);
  const percent = /^0[.,]/.test(found[1] ?? "") ? Number((100 * written).toPrecision(6)) : written;
  const limit = `d${percent}Um`;
  return percentileOf(limit) === null ? null : { of: { limit }, rest: line.slice(found[0].length) };
}

/** Limits of a text such as "3.1 ± 0.2", "2.9–3.3", "at most 6"; a bare number is a middle without a tolerance. */
function rangeIn(text: string): { low: number | null; high: number | null; middle: number | null } | null {
  const plain = text.toLowerCase().replace(/[−–—]/g, "-");
  const matched = (pattern: string) => new RegExp(pattern).exec(plain);
  const about = matched(`${number}\\D*?(?:±|\\+/?-)\\s*${number}\\s*(%)?`);
  if (about !== null) {
    const [middle, given] = [decimal(about[1]), decimal(about[2])];
    const reach = about[3] === "%" && !/%.*%/.test(plain) ? (middle * given) / 100 : given;
    return { low: middle - reach, high: middle + reach, middle };
  }
  const low = matched(`(?:≥|>=|>|min\\.?|minimum|at least|from|ab|mindestens)\\s*:?=?\\s*${number}`);
  const high = matched(`(?:≤|<=|<|max\\.?|maximum|at most|up to|höchstens|bis|to)\\s*:?=?\\s*${number}`);
  if (low !== null || high !== null) {
    const first = low === null ? matched(`${number}\\s*(?:to|bis)`) : low;
    return {
      low: first === null ? null : decimal(first[1]),
      high: high === null ? null : decimal(high[1]),
      middle: null,
    };
  }
  const between = matched(`${number}\\D{0,5}?\\s*(?:-|\\.\\.\\.?)\\s*${number}`);
  if (between !== null) return { low: decimal(between[1]), high: decimal(between[2]), middle: null };
  const only = matched(number);
  return only === null ? null : { low: null, high: null, middle: decimal(only[1]) };
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
  for (const { line, row } of linesOf(text)) {
    const limited = limitedIn(line);
    const range = limited === null ? null : rangeIn(limited.rest);
    if (limited === null || range === null) {
      if (/\d/.test(line))
        problems.push(
          problem("refused", `"${line}" names no limit that is known; the other lines are taken.`, {
            row,
            found: line,
            expected: "a line such as D50 3.1 ± 0.2 µm, D90 at most 6 µm, below 1 µm at most 3 %",
          }),
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
      bet = taken;
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

function withTolerance(
  { low, high, middle }: NonNullable<ReturnType<typeof rangeIn>>,
  percent: number | null,
): BetLimits | null {
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

/** A target line by line: tables are put into lines, each naming what it limits. */
function linesOf(text: string): readonly { readonly line: string; readonly row: number }[] {
  const lines = text
    .split(/\r?\n/)
    .map((line, i) => ({ cells: line.split(/[\t;|]/).map((cell) => cell.trim()), row: i + 1 }));
  const table = lines.filter(({ cells }) => cells.filter((cell) => cell !== "").length > 1);
  const [heading, ...body] = table;
  const isAcross =
    heading !== undefined &&
    body.length > 0 &&
    heading.cells.filter((cell) => limitedIn(cell)?.rest.match(/\d/) === null).length > 1;
  if (isAcross) return acrossLines(heading.cells, body);
  const words = (heading?.cells ?? []).map(columnWord);
  const isDown = words.some((word) => word !== "") && body.length > 0;
  const source = isDown ? body : lines;
  return source.flatMap(({ cells, row }) => {
    const line = cells
      .map((cell, i) => (isDown && cell !== "" ? `${words[i] ?? ""} ${cell}`.trim() : cell))
      .filter((cell) => cell !== "")
      .join(" ");
    return line === "" ? [] : [{ line, row }];
  });
}

/** Each value of rows such as "min", "max" and "target" under the name of what it limits. */
function acrossLines(
  heading: readonly string[],
  body: readonly { readonly cells: readonly string[]; readonly row: number }[],
) {
  const isLabelled = limitedIn(heading[0] ?? "") === null;
  return heading.flatMap((name, column) => {
    if (limitedIn(name) === null) return [];
    const parts = body.flatMap(({ cells }) => {
      const word = isLabelled ? columnWord(cells[0] ?? "") : "";
      const cell = cells[column] ?? "";
      return cell === "" ? [] : [`${word} ${cell}`.trim()];
    });
    const [first] = body;
    return first === undefined || parts.length === 0
      ? []
      : [{ line: `${name} ${parts.join(" ")}`, row: first.row }];
  });
}

function columnWord(heading: string): string {
  if (/^(?:min|low|lower|from|lsl|untere?|von|≥)/i.test(heading)) return "min";
  if (/^(?:max|high|upper|to|usl|obere?|bis|≤)/i.test(heading)) return "max";
  return /^(?:±|\+\/-|tol)/i.test(heading) ? "±" : "";
}
