import { describe, expect, test } from "vitest";
import { readTable } from "#distributions/tables/readTable.ts";
import { answerText } from "../../answerText.ts";
import { shapes } from "./corpus/shapes.ts";
import { traps } from "./corpus/traps.ts";

// What is read of every table of the corpus to its last word: what was taken for what and why, what is asked and refused,
// and where. Each stands in tests/distributions/tables/read/ as it was read over and approved. A reading that is changed on
// purpose is read over again and written anew: npx vitest run --config tests/vitest.config.ts tables/read.test --update
describe("readings of the corpus, as approved", () => {
  test.each([...shapes, ...traps])("$shape: $name", async ({ shape, name, table, file, options }) => {
    const reading = readTable(table, file ?? "lot.csv", options ?? {});
    // Each answer that is offered is given too.
    const answered = reading.problems.flatMap((p) =>
      (p.choices ?? []).map((choice) => ({
        answer: `${choice.option} ${choice.value}`,
        ...readTable(table, file ?? "lot.csv", { ...options, [choice.option]: choice.value }),
        problems: [],
        tables: [],
      })),
    );
    await expect(answerText({ reading, answered })).toMatchFileSnapshot(
      `read/${`${shape} ${name}`.replace(/\W+/g, "-").slice(0, 80)}.txt`,
    );
  });
});
