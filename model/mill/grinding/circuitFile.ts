import { neighbours } from "#distributions/lists.ts";
import { type Problem, problem } from "#distributions/problem.ts";
import { separationKinds } from "#model/mill/separation/separation.ts";
import type { Fragments } from "./breakage.ts";
import type { Circuit } from "./circuit.ts";

const expectedNumbers = {
  cutUm: ["The cut size in µm", "a number above zero"],
  sharpness: ["The sharpness", "a number between 0 and 1"],
  bypassShare: ["The bypass", "a share in 0 … 1"],
  leakShare: ["The leak", "a share in 0 … 1"],
  rateAt1UmPerS: ["The breakage rate at 1 µm in 1/s", "zero or more"],
  rateExponent: ["The exponent of the breakage rate", "a number"],
  offerPerS: ["The rate at which powder reaches the wheel in 1/s", "a number above zero"],
  classesPerOctave: ["The classes per octave", "a number from 1 to 128"],
} as const;
type NumberName = keyof typeof expectedNumbers;

const fits: Readonly<Record<NumberName, (v: number) => boolean>> = {
  cutUm: (v) => v > 0,
  sharpness: (v) => v > 0 && v < 1,
  bypassShare: isShare,
  leakShare: isShare,
  rateAt1UmPerS: (v) => v >= 0,
  rateExponent: () => true,
  offerPerS: (v) => v > 0,
  classesPerOctave: (v) => v >= 1 && v <= 128,
};

/** A limit that nothing lies below. */
const noLimit = 0;

/** What may be left out, and what it then is. */
const usual: Partial<Record<NumberName, number>> = { bypassShare: 0, leakShare: 0, classesPerOctave: 8 };

const known: readonly string[] = [
  "feedEdgesUm",
  "feedShares",
  "separation",
  "fragments",
  "grindingLimitUm",
  ...Object.keys(expectedNumbers),
];

function isShare(v: number): boolean {
  return v >= 0 && v <= 1;
}

/** Checks a circuit that came as JSON; every fault is named, with what was expected. */
export function parseCircuit(
  value: unknown,
  file: string | null,
): { circuit: Circuit | null; problems: Problem[] } {
  const problems: Problem[] = [];
  const refuse = (message: string, found: unknown, expected: string) => {
    problems.push(refusal({ message, found, expected }, file));
  };
  if (typeof value !== "object" || value === null || Array.isArray(value)) {
    refuse("A circuit is a JSON object; docs/commands.md lists its keys.", value, "an object");
    return { circuit: null, problems };
  }
  const given: Record<string, unknown> = { ...value };
  for (const name of Object.keys(given))
    if (!known.includes(name)) refuse(`${name} is not part of a circuit.`, name, known.join(", "));
  const numberOf = (name: NumberName): number => {
    const v = given[name] ?? usual[name];
    const [words, rule] = expectedNumbers[name];
    if (typeof v === "number" && Number.isFinite(v) && fits[name](v)) return v;
    refuse(`${words} must be ${rule}.`, given[name], `${name}: ${rule}`);
    return 0;
  };
  const numbers = {
    cutUm: numberOf("cutUm"),
    sharpness: numberOf("sharpness"),
    bypassShare: numberOf("bypassShare"),
    leakShare: numberOf("leakShare"),
    rateAt1UmPerS: numberOf("rateAt1UmPerS"),
    rateExponent: numberOf("rateExponent"),
    offerPerS: numberOf("offerPerS"),
    classesPerOctave: numberOf("classesPerOctave"),
  };
  const kind = separationKinds.find((k) => k === given["separation"]);
  if (kind === undefined)
    refuse(
      `The separation must be one of ${separationKinds.join(", ")}.`,
      given["separation"],
      separationKinds.join(", "),
    );
  if (kind === "whiten" && numbers.sharpness > 0 && numbers.sharpness <= 1 / 9)
    refuse("Whiten's curve has a sharpness above 1/9.", given["sharpness"], "sharpness: above 1/9");
  const limit = given["grindingLimitUm"] ?? noLimit;
  if (!(typeof limit === "number" && limit >= 0))
    refuse("The grinding limit in µm must be zero or more.", limit, "grindingLimitUm: zero or more");
  const fragments = fragmentsOf(given["fragments"]);
  const feed = feedOf(given["feedEdgesUm"], given["feedShares"]);
  problems.push(...[fragments, feed].flatMap((found) => ("message" in found ? [refusal(found, file)] : [])));
  if (problems.length > 0 || kind === undefined || "message" in fragments || "message" in feed)
    return { circuit: null, problems };
  return {
    circuit: {
      feed,
      rate: {
        at1UmPerS: numbers.rateAt1UmPerS,
        exponent: numbers.rateExponent,
        grindingLimitUm: typeof limit === "number" ? limit : 0,
      },
      fragments,
      separation: {
        kind,
        cutUm: numbers.cutUm,
        sharpness: numbers.sharpness,
        bypassShare: numbers.bypassShare,
        leakShare: numbers.leakShare,
      },
      offerPerS: numbers.offerPerS,
      classesPerOctave: numbers.classesPerOctave,
    },
    problems,
  };
}

/** What is wrong with a part of a circuit. */
interface Refusal {
  readonly message: string;
  readonly found: unknown;
  readonly expected: string;
}

function refusal({ message, found, expected }: Refusal, file: string | null): Problem {
  return problem("refused", message, { file, found: JSON.stringify(found) ?? "nothing", expected });
}

function fragmentsOf(value: unknown): Fragments | Refusal {
  const given: Record<string, unknown> = typeof value === "object" && value !== null ? { ...value } : {};
  const positive = (name: string): number | null => {
    const v = given[name];
    return typeof v === "number" && Number.isFinite(v) && v > 0 ? v : null;
  };
  if (given["kind"] === "power") {
    const exponent = positive("exponent");
    if (exponent !== null) return { kind: "power", exponent };
  }
  if (given["kind"] === "broadbent-callcott") {
    const exponent = given["exponent"] === undefined ? 1 : positive("exponent");
    if (exponent !== null) return { kind: "broadbent-callcott", exponent };
  }
  if (given["kind"] === "austin") {
    const share = given["share"];
    const exponentFine = positive("exponentFine");
    const exponentCoarse = positive("exponentCoarse");
    if (typeof share === "number" && isShare(share) && exponentFine !== null && exponentCoarse !== null)
      return { kind: "austin", share, exponentFine, exponentCoarse };
  }
  return {
    message:
      "The breakage function must be a power law, Austin's or Broadbent and Callcott's, with exponents above zero and a share in 0 … 1.",
    found: value,
    expected:
      '{ kind: "power", exponent }, { kind: "austin", share, exponentFine, exponentCoarse } or { kind: "broadbent-callcott", exponent? }',
  };
}

/** Rising edges and one share a class, summing to 1; as an undersize curve. */
function feedOf(edges: unknown, shares: unknown): Circuit["feed"] | Refusal {
  if (
    !isNumbers(edges) ||
    edges.length < 2 ||
    !neighbours([0, ...edges]).every(([lower, upper]) => upper > lower)
  ) {
    return {
      message: "The feed needs rising edges above zero.",
      found: edges,
      expected: "feedEdgesUm: two or more rising sizes in µm",
    };
  }
  if (!isNumbers(shares) || shares.length !== edges.length - 1 || !shares.every((v) => v >= 0)) {
    return {
      message: "The feed needs one share of zero or more per class.",
      found: shares,
      expected: `feedShares: ${edges.length - 1} shares`,
    };
  }
  const sum = shares.reduce((a, b) => a + b, 0);
  if (Math.abs(sum - 1) > 0.006) {
    return {
      message: `The feed's shares sum to ${Number(sum.toPrecision(4))}, not to 1.`,
      found: sum,
      expected: "feedShares that sum to 1",
    };
  }
  let reached = 0;
  const rising = shares.map((v) => {
    reached += v / sum;
    return Math.min(reached, 1);
  });
  rising[rising.length - 1] = 1;
  return { edgesUm: edges, undersize: [0, ...rising], power: 0 };
}

function isNumbers(value: unknown): value is number[] {
  return Array.isArray(value) && value.every((v) => typeof v === "number" && Number.isFinite(v));
}
