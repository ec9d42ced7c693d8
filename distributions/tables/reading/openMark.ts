import { curveOf, sizeAt } from "#distributions/curve.ts";
import { problem } from "#distributions/problem.ts";
import type { TakenApart } from "#distributions/tables/text/delimiterAndDecimalMark.ts";
import type { ReadingOptions } from "#distributions/tables/text/readingOptions.ts";
import type { Guess } from "./guess.ts";
import { type Reading, refusal } from "./reading.ts";
import { readTablesIn } from "./readTablesIn.ts";

/** Every number with a mark reads either way: one reading may make sense alone, else it is asked. */
export function readWithUnknownMark(
  found: TakenApart,
  file: string | null,
  options: ReadingOptions,
  how: readonly Guess[],
): Reading {
  const readings = (["point", "comma"] as const).map((decimal) => ({
    decimal,
    reading: readTablesIn(
      { ...found, decimalMark: decimal === "comma" ? "," : "." },
      { file, options: { ...options, decimal }, how },
    ),
  }));
  const usable = readings.filter(({ reading }) => !reading.problems.some((p) => p.severity === "refused"));
  const [only] = usable;
  if (usable.length === 1 && only !== undefined) {
    const evidence = "read the other way, the table makes no sense";
    return {
      ...only.reading,
      how: only.reading.how.map((g) => (g.option === "decimal" ? { ...g, source: "table", evidence } : g)),
    };
  }
  const [point] = readings;
  if (usable.length === 0 || point === undefined) return readTablesIn(found, { file, options, how });
  const choices = readings.map(({ decimal, reading }) => {
    const [one] = reading.measurements;
    const asked = reading.problems.find((p) => p.severity === "question")?.choices?.[0]?.d50Um ?? null;
    return {
      option: "decimal",
      value: decimal,
      d50Um: one === undefined ? asked : sizeAt(curveOf(one.distribution), 0.5),
    };
  });
  return {
    ...refusal(
      file,
      problem(
        "question",
        "Every number with a mark has three digits behind it, so 1,234 can be a little more than one or a thousand. Say whether the decimal mark is a point or a comma.",
        {
          file,
          found: "numbers such as 1,234 or 1.234 only",
          expected: "point, comma",
          effect: choices
            .map(
              (c) =>
                `${c.value}: D50 ${c.d50Um === null ? "not known" : `${Number(c.d50Um.toPrecision(4))} µm`}`,
            )
            .join("; "),
          choices,
        },
      ),
    ),
    how: point.reading.how.filter((guess) => guess.option !== "decimal"),
  };
}
