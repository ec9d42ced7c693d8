import { neighbours, zip } from "#distributions/lists.ts";
import { type Problem, problem } from "#distributions/problem.ts";
import { readJsonFile } from "#distributions/tables/text/jsonFile.ts";
import {
  type Band,
  type BandRow,
  type BetLimits,
  type DecisionRule,
  decisionRules,
  envelopeUses,
} from "./band.ts";
import type { Envelope } from "./envelope.ts";
import { isShareAtSize, limitWords, namedLimits, percentileOf } from "./limits.ts";

interface ReadBand {
  readonly band: Band | null;
  readonly problems: readonly Problem[];
}

/** Reads BAND.json. */
export function readBand(text: string, file: string | null): ReadBand {
  const json = readJsonFile(text, file, "The band's file");
  return "problem" in json ? { band: null, problems: [json.problem] } : parseBand(json.value, file);
}

/** A band as the file that reads back to it. */
export function writeBand(band: Band): string {
  return `${JSON.stringify(band, null, 2)}\n`;
}

/** Checks a band that came as JSON; every fault is named with its place and what was expected. */
export function parseBand(value: unknown, file: string | null): ReadBand {
  const { faults, fault } = faultList();
  const given = recordOf(value);
  if (given === null) {
    fault("the file", value, "a JSON object", "file");
    return { band: null, problems: problemsOf(faults, file) };
  }
  if (given["version"] !== 1) fault("version", given["version"], "1");
  const name = typeof given["name"] === "string" ? given["name"] : "target band";
  const stage = typeof given["stage"] === "string" ? given["stage"] : "";
  const density = given["densityGPerCm3"] ?? null;
  if (density !== null && !isPositive(density))
    fault("densityGPerCm3", density, "a number above zero, or null", "density of the solid");
  const rule = decisionRules.find((known) => known === (given["rule"] ?? "two-sided"));
  if (rule === undefined) fault("rule", given["rule"], `one of ${decisionRules.join(", ")}`);
  const list = given["rows"] ?? [];
  if (!Array.isArray(list)) fault("rows", list, "a list");
  const rows = (Array.isArray(list) ? list : []).map((row: unknown, i) => parseRow(row, `rows[${i}]`));
  faults.push(...rows.flatMap((row) => row.faults));
  if (rows.some((row) => row.parsed?.limit === "surfaceM2PerG") && density === null)
    fault("densityGPerCm3", density, "given, because a row limits the area", "density of the solid");
  const envelope = parseEnvelope(given["envelope"] ?? null);
  const bet = parseBet(given["betM2PerG"] ?? null);
  const use = envelopeUses.find((known) => known === (given["envelopeUse"] ?? "judged"));
  if (use === undefined)
    fault("envelopeUse", given["envelopeUse"], `one of ${envelopeUses.join(", ")}`, "use of the envelope");
  faults.push(...envelope.faults, ...bet.faults);
  if (faults.length > 0 || rule === undefined) return { band: null, problems: problemsOf(faults, file) };
  const band: Band = {
    version: 1,
    name,
    stage,
    densityGPerCm3: isPositive(density) ? density : null,
    rule: rule satisfies DecisionRule,
    rows: rows.flatMap((row) => row.parsed ?? []),
    envelope: envelope.parsed,
    ...(use === "shown" && envelope.parsed !== null ? { envelopeUse: use } : {}),
    ...(bet.parsed === null ? {} : { betM2PerG: bet.parsed }),
    ...(typeof given["source"] === "string" ? { source: given["source"] } : {}),
    ...(isFilled(given["instrument"]) ? { instrument: given["instrument"].trim() } : {}),
    ...(isFilled(given["referenceDrum"]) ? { referenceDrum: given["referenceDrum"].trim() } : {}),
  };
  return { band, problems: [] };
}

/** `where` is the place in the file; the subject says the same in a reader's words. */
interface Fault {
  readonly where: string;
  readonly found: unknown;
  readonly expected: string;
  readonly subject: string;
}

/** A part of the file as it was understood, null where it was not, and what is wrong with it. */
interface Parsed<T> {
  readonly parsed: T | null;
  readonly faults: readonly Fault[];
}

/** A list of faults and what adds to it; the subject is left out where it is the place itself. */
function faultList() {
  const faults: Fault[] = [];
  const fault = (where: string, found: unknown, expected: string, subject = where) => {
    faults.push({ where, found, expected, subject });
  };
  return { faults, fault };
}

function problemsOf(faults: readonly Fault[], file: string | null): Problem[] {
  return faults.map(({ where, found, expected, subject }) =>
    problem("refused", `The band's ${subject} must be ${expected}, found ${textOf(found)}.`, {
      file,
      found: textOf(found),
      expected: `${where}: ${expected}`,
    }),
  );
}

function parseRow(value: unknown, where: string): Parsed<BandRow> {
  const { faults, fault } = faultList();
  const row = recordOf(value);
  if (row === null) {
    fault(where, value, "an object with limit, low and high");
    return { parsed: null, faults };
  }
  const limit = row["limit"];
  if (
    typeof limit !== "string" ||
    (percentileOf(limit) === null && !namedLimits.some((known) => known === limit))
  ) {
    fault(`${where}.limit`, limit, `d<percent>Um, ${namedLimits.join(", ")}`);
    return { parsed: null, faults };
  }
  const { name } = limitWords({ limit, ...(isPositive(row["sizeUm"]) ? { sizeUm: row["sizeUm"] } : {}) });
  const low = row["low"] ?? null;
  const high = row["high"] ?? null;
  if (!isNumberOrNull(low)) fault(`${where}.low`, low, "a number or null", `lower limit of ${name}`);
  if (!isNumberOrNull(high)) fault(`${where}.high`, high, "a number or null", `upper limit of ${name}`);
  if (low === null && high === null) fault(where, "neither", "given a lower or an upper limit", name);
  if (typeof low === "number" && typeof high === "number" && low > high)
    fault(`${where}.low`, low, `at most its upper limit of ${high}`, `lower limit of ${name}`);
  const sizeUm = row["sizeUm"];
  if (isShareAtSize({ limit }) && !isPositive(sizeUm))
    fault(`${where}.sizeUm`, sizeUm, "given in µm", "size that a share lies below or above");
  const repeatabilitySd = row["repeatabilitySd"];
  if (repeatabilitySd !== undefined && !isPositive(repeatabilitySd))
    fault(
      `${where}.repeatabilitySd`,
      repeatabilitySd,
      "a number above zero",
      `agreed repeatability of ${name}`,
    );
  const parsed = {
    limit,
    ...(isPositive(sizeUm) ? { sizeUm } : {}),
    low: isNumberOrNull(low) ? low : null,
    high: isNumberOrNull(high) ? high : null,
    ...(isPositive(repeatabilitySd) ? { repeatabilitySd } : {}),
    ...(typeof row["source"] === "string" ? { source: row["source"] } : {}),
  };
  return { parsed, faults };
}

function parseBet(value: unknown): Parsed<BetLimits> {
  const { faults, fault } = faultList();
  if (value === null) return { parsed: null, faults };
  const given = recordOf(value);
  const { low = null, high = null } = given ?? {};
  if (given === null || !isPositiveOrNull(low) || !isPositiveOrNull(high)) {
    fault("betM2PerG", value, "an object with low and high, each above zero or null", "BET specification");
    return { parsed: null, faults };
  }
  if (low !== null && high !== null && low > high)
    fault("betM2PerG.low", low, `at most its upper limit of ${high}`, "lower limit of the BET area");
  return { parsed: low === null && high === null ? null : { low, high }, faults };
}

function parseEnvelope(value: unknown): Parsed<Envelope> {
  const { faults, fault } = faultList();
  if (value === null) return { parsed: null, faults };
  const envelope = recordOf(value);
  const sizesUm = numbersOf(envelope?.["sizesUm"]);
  const lowShares = numbersOf(envelope?.["lowShares"]);
  const highShares = numbersOf(envelope?.["highShares"]);
  if (sizesUm === null || lowShares === null || highShares === null) {
    fault("envelope", value, "null or an object with the number lists sizesUm, lowShares, highShares");
    return { parsed: null, faults };
  }
  if (sizesUm.length < 2 || lowShares.length !== sizesUm.length || highShares.length !== sizesUm.length) {
    fault(
      "envelope",
      `${sizesUm.length}, ${lowShares.length} and ${highShares.length} values`,
      "three lists of one length, two or more",
    );
    return { parsed: null, faults };
  }
  const unruly = neighbours([0, ...sizesUm]).findIndex(([lower, upper]) => !(upper > lower));
  if (unruly >= 0)
    fault(`envelope.sizesUm[${unruly}]`, sizesUm[unruly], "above zero and rising", "envelope sizes");
  const crossed = zip(lowShares, highShares).findIndex(
    ([low, high]) => !(low >= 0 && high <= 1 && low <= high),
  );
  if (crossed >= 0)
    fault(
      `envelope at ${sizesUm[crossed]} µm`,
      `${lowShares[crossed]} … ${highShares[crossed]}`,
      "0 ≤ low ≤ high ≤ 1",
    );
  return { parsed: { sizesUm, lowShares, highShares }, faults };
}

function recordOf(value: unknown): Record<string, unknown> | null {
  return typeof value === "object" && value !== null && !Array.isArray(value) ? { ...value } : null;
}

function isFilled(value: unknown): value is string {
  return typeof value === "string" && value.trim() !== "";
}

function isPositive(value: unknown): value is number {
  return typeof value === "number" && Number.isFinite(value) && value > 0;
}

function isPositiveOrNull(value: unknown): value is number | null {
  return value === null || isPositive(value);
}

function isNumberOrNull(value: unknown): value is number | null {
  return value === null || (typeof value === "number" && Number.isFinite(value));
}

function numbersOf(value: unknown): number[] | null {
  if (!Array.isArray(value)) return null;
  const numbers = value.filter((v): v is number => typeof v === "number" && Number.isFinite(v));
  return numbers.length === value.length ? numbers : null;
}

function textOf(value: unknown): string {
  return value === undefined ? "nothing" : typeof value === "string" ? value : JSON.stringify(value);
}
