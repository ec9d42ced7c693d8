import { curveOf } from "#distributions/curve.ts";
import { normalForm } from "#distributions/families/normalForm.ts";
import { sizeDistribution } from "#distributions/sizeDistribution.ts";
import { gradeEfficiency } from "#model/mill/streams/gradeEfficiency.ts";
import { reconcile } from "#model/mill/streams/reconcile.ts";
import { streamErrors } from "#model/mill/streams/streamErrors.ts";
import { type RandomNumbers, randomNumbers } from "#model/numbers/randomNumbers.ts";

/** Fixed before the first run. */
const seed = 20_261_132;

/** How the three measured streams err: each class by itself, each stream in size, or both. */
export type StreamNoise = "each class 3 %" | "size 1 %" | "both";

const edges = Array.from({ length: 49 }, (_, i) => 0.3 * 200 ** (i / 48));
const truth = { cutUm: 5, sharpness: 0.6, bypassShare: 0.08 };

/** Feed D50 5 µm and GSD 2, cut at 5 µm with sharpness 0.6 and a bypass of 8 %: shares of feed, fines and coarse. */
function trueStreams() {
  const q = edges.map((x) => normalForm.undersize(Math.log(x / 5) / Math.log(2)));
  const steepness = Math.log(9) / -Math.log(truth.sharpness);
  const classes = edges.slice(1).map((upper, i) => {
    const lower = edges[i] ?? upper;
    const feed = (q[i + 1] ?? 0) - (q[i] ?? 0);
    const t = 1 / (1 + (Math.sqrt(lower * upper) / truth.cutUm) ** -steepness);
    const back = truth.bypassShare + (1 - truth.bypassShare) * t;
    return { feed, fines: feed * (1 - back), coarse: feed * back };
  });
  return classes;
}

function measuredCurve(shares: readonly number[], noise: StreamNoise, random: RandomNumbers) {
  const factor = noise === "each class 3 %" ? 1 : Math.exp(0.01 * random.normal());
  const moved = shares.map((v) => (noise === "size 1 %" ? v : v * Math.exp(0.03 * random.normal())));
  const sum = moved.reduce((a, b) => a + b, 0);
  return curveOf(
    sizeDistribution({
      quantity: "volume",
      lowerUm: edges.slice(0, -1).map((x) => x * factor),
      upperUm: edges.slice(1).map((x) => x * factor),
      shares: moved.map((v) => v / sum),
      belowShare: 0,
      aboveShare: 0,
    }),
  );
}

export interface StreamCase {
  readonly noise: StreamNoise;
  readonly isWeighed: boolean;
  readonly sets: number;
  /** How often ± two standard errors held the truth. */
  readonly cut: number;
  readonly sharpness: number;
  readonly bypass: number;
  /** Median standard error of ln cut. */
  readonly medianError: number;
}

export function streamCases(sets: number): StreamCase[] {
  return (["each class 3 %", "size 1 %", "both"] as const).flatMap((noise, n) =>
    [true, false].map((isWeighed) =>
      caseOf(noise, { isWeighed, sets }, randomNumbers(seed + 10 * n + Number(isWeighed))),
    ),
  );
}

function caseOf(
  noise: StreamNoise,
  { isWeighed, sets }: { isWeighed: boolean; sets: number },
  random: RandomNumbers,
): StreamCase {
  const classes = trueStreams();
  const fineYield =
    classes.reduce((sum, { fines }) => sum + fines, 0) / classes.reduce((sum, { feed }) => sum + feed, 0);
  const held = { cut: 0, sharpness: 0, bypass: 0 };
  const errors: number[] = [];
  for (let i = 0; i < sets; i++) {
    const of = (stream: "feed" | "fines" | "coarse") =>
      measuredCurve(
        classes.map((one) => one[stream]),
        noise,
        random,
      );
    const streams = {
      feed: of("feed"),
      fines: of("fines"),
      coarse: of("coarse"),
      fineYield: isWeighed ? fineYield : null,
    };
    const reconciled = reconcile(streams);
    const found = reconciled === null ? null : gradeEfficiency(reconciled);
    const se = reconciled === null || found === null ? null : streamErrors(streams, reconciled, found);
    if (found === null || se === null) continue;
    if (Math.abs(Math.log(found.cutUm / truth.cutUm)) <= 2 * se[0]) held.cut++;
    if (Math.abs(found.sharpness - truth.sharpness) <= 2 * se[1]) held.sharpness++;
    if (Math.abs(found.bypassShare - truth.bypassShare) <= 2 * se[2]) held.bypass++;
    errors.push(se[0]);
  }
  return {
    noise,
    isWeighed,
    sets,
    cut: held.cut / sets,
    sharpness: held.sharpness / sets,
    bypass: held.bypass / sets,
    medianError: errors.toSorted((a, b) => a - b)[Math.floor(errors.length / 2)] ?? Number.NaN,
  };
}
