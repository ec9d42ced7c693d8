import { curveOf, sizeAt } from "#distributions/curve.ts";
import type { NamedMeasurement } from "#distributions/sizeDistribution.ts";
import { readTable } from "#distributions/tables/readTable.ts";
import { type ReadingOptions, withAnswer } from "#distributions/tables/text/readingOptions.ts";

const digits = (value: number) => String(Number(value.toPrecision(9)));

type Reshape = (one: NamedMeasurement) => string;

/** Class shares in per cent, empty where nothing was found as so many laboratories send them. */
function classes({ distribution: d }: NamedMeasurement) {
  const percent = d.shares.map((v) => digits(100 * v));
  let sum = 0;
  const under = d.shares.map((v) => {
    sum += v;
    return digits(Math.min(100, 100 * sum));
  });
  const over = under.map((q) => digits(100 - Number(q)));
  return { lower: d.lowerUm.map(digits), upper: d.upperUm.map(digits), percent, under, over };
}

const table = (heads: readonly string[], columns: readonly (readonly string[])[]) =>
  [heads, ...(columns[0] ?? []).map((_, i) => columns.map((c) => c[i] ?? ""))]
    .map((row) => row.join("\t"))
    .join("\n");
const marked = (list: readonly string[], mark: string) => list.map((v) => (Number(v) === 0 ? mark : v));

/** The same record as nine laboratories could write it. */
export const reshapings: Readonly<Record<string, Reshape>> = {
  "upper edges": (m) => table(["upper um", "volume %"], [classes(m).upper, classes(m).percent]),
  "both edges": (m) =>
    table(["from um", "to um", "volume %"], [classes(m).lower, classes(m).upper, classes(m).percent]),
  ranges: (m) =>
    table(
      ["size um", "volume %"],
      [classes(m).lower.map((x, i) => `${x}–${classes(m).upper[i]}`), classes(m).percent],
    ),
  undersize: (m) => table(["size um", "volume undersize %"], [classes(m).upper, classes(m).under]),
  oversize: (m) => table(["size um", "volume oversize %"], [classes(m).upper, classes(m).over]),
  "blanks for zeros": (m) =>
    table(["upper um", "volume %"], [classes(m).upper, marked(classes(m).percent, "")]),
  "marks for zeros": (m) =>
    table(
      ["lower um", "upper um", "volume %"],
      [classes(m).lower, classes(m).upper, marked(classes(m).percent, "n.d.")],
    ),
  "class, under and over": (m) =>
    table(
      ["um", "volume %", "volume passing %", "volume rest %"],
      [classes(m).upper, classes(m).percent, classes(m).under, classes(m).over],
    ),
  across: (m) =>
    [
      ["size um", ...classes(m).upper],
      ["a volume passing %", ...classes(m).under],
    ]
      .map((row) => row.join("\t"))
      .join("\n"),
};

export interface ReshapingCount {
  readonly read: number;
  readonly asked: number;
  readonly wrong: readonly string[];
}

/** Reads each record in each reshaping; what is asked is answered as it was made. */
export function countReshaped(records: readonly NamedMeasurement[]): ReshapingCount {
  const wrong: string[] = [];
  let read = 0;
  let asked = 0;
  const answers: Readonly<Record<string, string>> = {
    edge: "upper",
    empty: "zero",
    quantity: "volume",
    sum: "divide",
    scale: "percent",
    unit: "um",
  };
  for (const one of records)
    for (const [name, reshape] of Object.entries(reshapings)) {
      const text = reshape(one);
      let options: ReadingOptions = {};
      let reading = readTable(text, "record.txt", options);
      for (let round = 0; round < 3 && reading.problems.some((p) => p.severity === "question"); round++) {
        for (const { choices = [] } of reading.problems.filter((p) => p.severity === "question"))
          options =
            withAnswer(options, choices[0]?.option ?? "", answers[choices[0]?.option ?? ""] ?? "") ?? options;
        reading = readTable(text, "record.txt", options);
      }
      const [m] = reading.measurements;
      const why = whyWrong(one, m, reading.measurements.length);
      if (why !== null)
        wrong.push(
          `${one.name}, ${name}: ${why} ${reading.problems.find((p) => p.severity !== "note")?.message ?? ""}`,
        );
      else if (Object.keys(options).length > 0) asked++;
      else read++;
    }
  return { read, asked, wrong };
}

function whyWrong(one: NamedMeasurement, m: NamedMeasurement | undefined, count: number): string | null {
  if (m === undefined || count !== 1) return `${count} measurements`;
  for (const part of [0.1, 0.5, 0.9]) {
    const [was, is] = [one, m].map((x) => sizeAt(curveOf(x.distribution), part));
    if (was !== null && was !== undefined && !(Math.abs((is ?? 0) / was - 1) <= 0.005))
      return `D${100 * part} ${is} for ${was}`;
  }
  return m.distribution.quantity === "volume" ? null : `counts ${m.distribution.quantity}`;
}
