import { describe, expect, test } from "vitest";
import { type MeasurementMetadata, withStated } from "#distributions/measurementMetadata.ts";
import { sizeDistribution } from "#distributions/sizeDistribution.ts";
import { checkAnswer } from "#model/answers/lot/checkAnswer.ts";
import type { Band } from "#model/band/band.ts";
import { parseBand, writeBand } from "#model/band/bandFile.ts";
import { bandFromRuns } from "#model/band/fromReference.ts";

// No source: that a verdict across instruments is worth less is common practice; the sentences are ours.
const distribution = sizeDistribution({
  quantity: "volume",
  lowerUm: [1, 2, 4],
  upperUm: [2, 4, 8],
  shares: [0.2, 0.6, 0.2],
});
const run = (name: string, how: MeasurementMetadata) => ({
  file: null,
  name,
  distribution,
  ...withStated(how),
});
const band: Band = {
  version: 1,
  name: "b",
  stage: "",
  densityGPerCm3: null,
  rule: "simple",
  rows: [{ limit: "d50Um", low: 2, high: 4 }],
  envelope: null,
  instrument: "Cell 2",
  referenceDrum: "drum 7",
};

describe("a band tied to an instrument and a reference drum", () => {
  test("says where the lot states another, and judges all the same", () => {
    const answer = checkAnswer([run("a", { instrument: "cell 3", referenceDrum: "Drum  7" })], band);
    expect(answer.verdict).toBe("in band");
    expect(answer.origin).toEqual([
      "The band applies to the instrument Cell 2, but the lot was measured on cell 3: part of the difference may come from the measurement.",
    ]);
    expect(answer.sentence).toContain(answer.origin?.[0] ?? "?");
  });
  test("speaks of some runs where others state the same or nothing", () => {
    const runs = [run("a", { instrument: "cell 3" }), run("b", { instrument: "cell 2" }), run("c", {})];
    expect(checkAnswer(runs, band).origin).toEqual([
      "The band applies to the instrument Cell 2, but some of its runs were measured on cell 3: part of the difference may come from the measurement.",
    ]);
    const oneSilent = [run("a", { instrument: "cell 3" }), run("b", {})];
    expect(checkAnswer(oneSilent, band).origin?.[0]).toMatch(/some of its runs were measured on cell 3/);
    const two = [run("a", { instrument: "cell 3" }), run("b", { instrument: "cell 4" })];
    expect(checkAnswer(two, band).origin?.[0]).toMatch(/the lot was measured on cell 3 and cell 4/);
    const drums = checkAnswer([run("a", { referenceDrum: "drum 8" })], band).origin;
    expect(drums?.[0]).toMatch(
      /applies to the reference drum \(container of reference powder\) drum 7, but the lot was measured with drum 8/,
    );
  });
  test("is silent where they agree, where the lot does not say, and where the band is tied to nothing", () => {
    const { instrument: _, referenceDrum: __, ...loose } = band;
    expect(checkAnswer([run("a", { instrument: "CELL 2" })], band)).not.toHaveProperty("origin");
    expect(checkAnswer([run("a", {})], band)).not.toHaveProperty("origin");
    expect(checkAnswer([run("a", { instrument: "cell 3" })], loose)).not.toHaveProperty("origin");
  });
  test("is drawn with what all its runs state, and reads back from its file", () => {
    const five = ["a", "b", "c", "d", "e"];
    const runs = five.map((name) =>
      run(name, { instrument: "cell 2", ...(name === "e" ? {} : { referenceDrum: "7" }) }),
    );
    const drawn = bandFromRuns(runs, { name: "x", stage: "re-fired", densityGPerCm3: null });
    expect([drawn.instrument, drawn.referenceDrum]).toEqual(["cell 2", undefined]);
    expect(parseBand(JSON.parse(writeBand(drawn)), null).band).toEqual(drawn);
    expect(parseBand({ ...drawn, instrument: "  " }, null).band).not.toHaveProperty("instrument");
  });
});
