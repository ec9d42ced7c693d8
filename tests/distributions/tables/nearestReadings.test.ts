import { expect, test } from "vitest";
import { nearestReadings, readOrOffer } from "#distributions/tables/nearestReadings.ts";
import { readTable } from "#distributions/tables/readTable.ts";

const lacking = "lower um,upper um,volume %\n1,2,20\n2,4,30\n4,8,25\n8,16,10\n";

test("a refused table offers the single answers under which it would be read, with the D50 each gives", () => {
  const { problems, measurements } = readOrOffer(lacking, "lot.csv", {});
  expect(measurements).toEqual([]);
  const [refused] = problems.filter((p) => p.severity === "refused");
  expect(refused?.choices?.map(({ option, value }) => `${option} ${value}`)).toEqual(["scale amount"]);
  // 42.5 of 85 lie below a size in the class 2 to 4: 20 + 22.5 of 30, uniform in ln size.
  expect(refused?.choices?.[0]?.d50Um).toBeCloseTo(2 * 2 ** 0.75, 9);
});

test("given that answer it is read", () => {
  const { measurements } = readOrOffer(lacking, "lot.csv", { scale: "amount" });
  expect(measurements).toHaveLength(1);
});

test("what is read, what waits for an answer, and what no answer helps offer nothing", () => {
  const whole = lacking.replace("8,16,10", "8,16,25");
  const asked = whole.replace("volume %", "share %");
  for (const text of [whole, asked, "nothing here"])
    expect(nearestReadings(readTable(text, null, {}), text, {})).toEqual([]);
});
