import { describe, expect, test } from "vitest";
import { describeWithData } from "../checkData.ts";
import { groups, sets } from "./all.ts";
import type { Check } from "./check.ts";
import { outcomeOf, setOutcomeOf } from "./outcome.ts";

/** Within its tolerance; or, where the page says why not, really outside it. */
function holds(check: Check): void {
  const { ours, isWithin, agreement } = outcomeOf(check);
  const expected = check.differs === undefined ? "within" : "differs";
  const words = `ours ${ours}, published ${check.published}: ${agreement}`;
  expect(isWithin ? "within" : "differs", words).toBe(expected);
}

for (const group of groups) {
  const title = `${group.topic}: ${group.source.full} (${group.kind}, ${group.source.reading})`;
  const tests = (path: string) => {
    const checks = group.checks(path);
    test("there is something to check", () => expect(checks.length).toBeGreaterThan(0));
    for (const check of checks) test(`${check.quantity}: ${check.published}`, () => holds(check));
  };
  if (group.needs === undefined) describe(title, () => tests(""));
  else describeWithData(title, group.needs, tests);
}

for (const set of sets) {
  describeWithData(`every row of ${set.source.full}`, set.needs, (path) => {
    for (const measure of set.measures(path)) {
      test(measure.quantity, () => {
        const { worst, isWithin, rows, rowsWithin } = setOutcomeOf(measure);
        const words = `${rowsWithin} of ${rows}; worst ${worst.name}: ours ${worst.ours}, published ${worst.published}`;
        expect(rows).toBeGreaterThan(0);
        expect(isWithin ? "within" : "differs", words).toBe(
          measure.differs === undefined ? "within" : "differs",
        );
      });
    }
  });
}

test("at least 60 printed values from at least 15 sources that were seen, beside those from memory", () => {
  const typed = groups.filter((group) => group.kind === "printed" && group.needs === undefined);
  const seen = typed.filter((group) => group.source.reading !== "from memory");
  const count = seen.reduce((sum, group) => sum + group.checks("").length, 0);
  expect(count).toBeGreaterThanOrEqual(60);
  const sources = [...seen, ...sets].map(({ source }) => source.short);
  expect(new Set(sources).size).toBeGreaterThanOrEqual(15);
});
