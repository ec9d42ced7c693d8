import { readFileSync } from "node:fs";
import { expect, test } from "vitest";
import { readTable } from "#distributions/tables/readTable.ts";
import { describeWithData } from "../checkData.ts";
import { countReshaped } from "./reshapings.ts";

/** Every so many-th record in the suite; all of them were read when this was written. */
const step = 24;

for (const folder of ["open/pl1_putslaagte", "open/mjb_sw"])
  describeWithData(`laboratory records of ${folder} in nine reshapings`, folder, (path) => {
    test("each is read, or read after a question; none is refused for its blanks", () => {
      const { measurements } = readTable(readFileSync(`${path}/tidy_wide.csv`), "tidy.csv", {
        edge: "upper",
        quantity: "volume",
      });
      expect(measurements.length).toBeGreaterThan(400);
      expect(countReshaped(measurements.filter((_, i) => i % step === 0)).wrong).toEqual([]);
    }, 120_000);
  });
