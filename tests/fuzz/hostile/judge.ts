import { curveOf, sizeAt } from "#distributions/curve.ts";
import type { Reading } from "#distributions/tables/reading/reading.ts";
import { readTable } from "#distributions/tables/readTable.ts";
import { type ReadingOptions, withAnswer } from "#distributions/tables/text/readingOptions.ts";
import type { Hostile } from "./hostile.ts";
import { percentileOf } from "./powder.ts";

export type Outcome = "right" | "asked" | "refused rightly" | "refused" | "misread" | "too many questions";

export interface Judged {
  readonly outcome: Outcome;
  /** What was asked though the table states it. */
  readonly needless: readonly string[];
  readonly why: string;
}

/** Half a per cent of a size. */
const closeEnough = 0.005;
const maxRounds = 4;

/** Reads a table, answers what is asked as a person who knows it would, and holds what comes of it against the truth. */
export function judge(table: Hostile, text: string | Uint8Array = table.table): Judged {
  let options: ReadingOptions = {};
  const asked: string[] = [];
  for (let round = 0; round < maxRounds; round++) {
    const reading = readTable(text, table.file, options);
    const wrong = wrongIn(reading, table);
    const trail = asked.length === 0 ? "" : ` after ${asked.join(", ")}`;
    const needless = asked.filter((option) => table.states.has(option));
    const questions = reading.problems.filter((p) => p.severity === "question");
    const refused = reading.problems.find((p) => p.severity === "refused");
    const isDone = questions.length === 0 && refused === undefined;
    if (wrong !== null) return { outcome: "misread", needless, why: `${wrong}${trail}` };
    if (isDone && reading.measurements.length !== table.truth.length)
      return {
        outcome: table.refusable ? "refused rightly" : "misread",
        needless,
        why: `${reading.measurements.length} of ${table.truth.length} measurements${trail}`,
      };
    if (isDone)
      return {
        outcome: asked.length === 0 ? (table.mustAsk === null ? "right" : "misread") : "asked",
        needless,
        why: asked.length === 0 && table.mustAsk !== null ? `not asked: ${table.mustAsk}` : asked.join(", "),
      };
    if (questions.length === 0)
      return {
        outcome: table.refusable ? "refused rightly" : "refused",
        needless,
        why: `${refused?.message ?? ""}${trail}`,
      };
    if (new Set(questions.map((q) => q.choices?.[0]?.option)).size > 2)
      return { outcome: "too many questions", needless, why: questions.map((q) => q.message).join(" | ") };
    let next = options;
    const before = [...asked];
    for (const { choices = [], message } of questions) {
      // Where answers to several things are offered, the true one is taken.
      const option = (choices.find((c) => table.answers[c.option] === c.value) ?? choices[0])?.option ?? "?";
      const answer = table.answers[option] ?? "?";
      const isOffered = choices.some((c) => c.option === option && c.value === answer);
      const given = isOffered ? withAnswer(next, option, answer) : null;
      if (given === null || before.includes(option))
        return {
          outcome: table.refusable ? "refused rightly" : "refused",
          needless,
          why: `asked ${option} (${choices.map((c) => c.value).join("/")}; true: ${answer}): ${message}${trail}`,
        };
      if (!asked.includes(option)) asked.push(option);
      next = given;
    }
    options = next;
  }
  return { outcome: tooMany(table), needless: [], why: asked.join(", ") };
}

/** Where the unit is none that can be said, the first answer already is not true, and the person was told to convert. */
function tooMany({ refusable }: Hostile): Outcome {
  return refusable ? "refused rightly" : "too many questions";
}

/** What of the measurements that were read is not as it was written; null where all is. */
function wrongIn({ measurements }: Reading, { truth, quantity, isNamed }: Hostile): string | null {
  if (measurements.length > truth.length) return `${measurements.length} for ${truth.length} measurements`;
  for (const [i, { name, distribution }] of measurements.entries()) {
    const curve = curveOf(distribution);
    const candidates = measurements.length === truth.length ? [truth[i]] : truth;
    const gaps = candidates.map((known) =>
      known === undefined
        ? 1
        : Math.max(
            ...[0.1, 0.5, 0.9].map((part) =>
              Math.abs((sizeAt(curve, part) ?? 1e-9) / percentileOf(known, part) - 1),
            ),
          ),
    );
    const gap = Math.min(...gaps);
    if (gap > closeEnough)
      return `${name} is off by ${(100 * gap).toFixed(2)} %: D50 ${sizeAt(curve, 0.5)} for ${candidates[0] === undefined ? "?" : percentileOf(candidates[0], 0.5)}`;
    const known = candidates[gaps.indexOf(gap)];
    const counted = known?.quantity ?? quantity;
    if (distribution.quantity !== counted) return `${name} counts ${distribution.quantity} for ${counted}`;
    const called = known?.name ?? "";
    if (isNamed && !name.includes(called)) return `"${called}" goes by "${name}"`;
  }
  return null;
}
