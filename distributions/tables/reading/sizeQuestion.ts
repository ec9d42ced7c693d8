import type { Block, Series } from "#distributions/tables/layout/block.ts";
import type { OpenQuestion } from "#distributions/tables/values/questions.ts";

/** Two columns are as much like sizes, and the other would be a measurement: which holds them is asked. */
export function rivalQuestion(
  block: Block,
  series: readonly Series[],
  file: string | null,
): OpenQuestion | null {
  const { rival } = block;
  const other = series.find((one) => one.at.column === (rival?.column ?? -1) + 1);
  if (rival === undefined || other === undefined || block.layout !== "columns") return null;
  const [chosen, second] = [rival.chosen + 1, rival.column + 1];
  const values = [`c${chosen}=sizes`, `c${second}=sizes`];
  return {
    at: { file: file, measurement: other.heading, row: null, column: second },
    option: "roles",
    values,
    found: `columns ${chosen} and ${second}`,
    choices: () => values.map((value) => ({ option: "roles", value, d50Um: null })),
    ask: () =>
      `Column ${chosen} or column ${second} can be the sizes: for column ${chosen} speaks that ${rival.forChosen}; for column ${second} that ${rival.forRival}. Say which.`,
  };
}
