import { readFileSync } from "node:fs";
import { describe, expect, test } from "vitest";
import { curveOf, sizeAt } from "#distributions/curve.ts";
import { logNormal } from "#distributions/families/logNormal.ts";
import { convert } from "#distributions/moments.ts";
import { type NamedMeasurement, type Quantity, sizeDistribution } from "#distributions/sizeDistribution.ts";
import { readTable } from "#distributions/tables/readTable.ts";
import { checkAnswer } from "#model/answers/lot/checkAnswer.ts";
import { releaseCheck } from "#model/answers/lot/releaseCheck.ts";
import { sizeShiftAnswer } from "#model/answers/lot/sizeShiftAnswer.ts";
import { verdictWords } from "#model/answers/lot/verdictSentence.ts";
import type { Band } from "#model/band/band.ts";
import { parseBand, readBand, writeBand } from "#model/band/bandFile.ts";
import { bandFromRuns } from "#model/band/fromReference.ts";
import { stageGap } from "#model/band/stageGap.ts";
import { byVolume } from "#model/lot/byVolume.ts";

const edges = Array.from({ length: 101 }, (_, i) => 0.1 * 1000 ** (i / 100));

/** A log-normal powder whose shares count what is asked, cut off where asked. */
function powder(
  medianUm: number,
  { quantity = "volume", belowShare = 0, name = "run 1" }: Partial<PowderOptions> = {},
): NamedMeasurement {
  const q = (x: number) => logNormal.cdf({ medianUm, gsd: 1.5 }, x);
  const raw = edges.slice(1).map((x, i) => q(x) - q(edges[i] ?? 0));
  const sum = raw.reduce((a, b) => a + b, 0);
  const shares = raw.map((v) => (v / sum) * (1 - belowShare));
  const distribution = sizeDistribution({
    quantity,
    lowerUm: edges.slice(0, -1),
    upperUm: edges.slice(1),
    shares,
    belowShare,
  });
  return { file: null, name, distribution };
}

interface PowderOptions {
  readonly quantity: Quantity;
  readonly belowShare: number;
  readonly name: string;
}

function bandOf(rows: Band["rows"], envelope: Band["envelope"] = null): Band {
  return { version: 1, name: "b", stage: "re-fired", densityGPerCm3: 4.55, rule: "simple", rows, envelope };
}

const sample = (path: string) =>
  readFileSync(new URL(`../../../../distributions/samples/${path}`, import.meta.url), "utf8");

function demoLot(name: string) {
  const { band } = readBand(sample("bands/garnet-target.json"), null);
  if (band === null) throw new Error("the demo band must read");
  const { measurements } = readTable(sample(`lots/${name}/re-fired.csv`), "x.csv", {});
  return { band, measurements };
}

describe("the limits of a band are by volume", () => {
  test("a number measurement is judged by its volume, and a note says on how few classes that rests", () => {
    const run = powder(3.35, { quantity: "number" });
    const volume = convert(run.distribution, "volume");
    if (volume === null) throw new Error("it can be converted");
    const d50Um = sizeAt(curveOf(volume), 0.5);
    const answer = checkAnswer([run], bandOf([{ limit: "d50Um", low: 3.1, high: 3.65 }]));
    expect(answer.rows[0]?.value).toBe(d50Um);
    // exp(3 ln²1.5) = 1.638 (Hatch–Choate): 3.35 µm by number is 5.49 µm by volume.
    expect(d50Um).toBeCloseTo(3.35 * Math.exp(3 * Math.log(1.5) ** 2), 1);
    expect(answer.verdict).toBe("out of band");
    expect(answer.problems[0]?.message).toMatch(
      /limits are by volume: run 1 is measured by number and was converted to volume.*coarsest two classes then hold .* % of the volume/,
    );
  });
  test("the envelope sees the same volume curve as the limits", () => {
    const lowShares = [0, 0.4, 1];
    const envelope = { sizesUm: [2, 3.35, 6], lowShares, highShares: [0.2, 0.6, 1] };
    expect(checkAnswer([powder(3.35)], bandOf([], envelope)).verdict).toBe("in band");
    const counted = checkAnswer([powder(3.35, { quantity: "number" })], bandOf([], envelope));
    expect(counted.verdict).toBe("out of band");
    expect(counted.outside[0]?.points).toBeLessThan(0);
  });
  test("a number measurement with powder outside its classes is not judged, with the reason and what to do", () => {
    const answer = checkAnswer(
      [powder(3.35, { quantity: "number", belowShare: 0.02 })],
      bandOf([{ limit: "d50Um", low: 3.1, high: 3.65 }]),
    );
    expect(answer.verdict).toBe("too few runs");
    expect(answer.rows[0]).toMatchObject({ value: null, verdict: "too few runs" });
    expect(answer.sentence).toMatch(
      /^Not judged, one run\. .*by volume.*measured by number and has 2\.00 % outside/,
    );
    expect(answer.problems.map((p) => p.severity)).toEqual(["refused"]);
    expect(answer.problems[0]?.message).toMatch(/import a measurement by volume/);
  });
});

describe("a band is for its stage", () => {
  test.each([
    ["milled", "re-fired", "This is milled powder; the band is for re-fired powder, which may be coarser."],
    [
      "crushed",
      "re-fired",
      "This is crushed powder; the band is for re-fired powder, and milling and re-firing will still change this one.",
    ],
    [
      "re-fired",
      "milled",
      "This is re-fired powder; the band is for milled powder, which comes before re-firing.",
    ],
    ["reference", "re-fired", "This is a reference powder; the band is for re-fired powder."],
  ] as const)("%s against %s", (stage, bandStage, sentence) => {
    expect(stageGap(stage, bandStage)).toBe(sentence);
  });
  test.each([
    ["the same stage", "re-fired", "re-fired"],
    ["a band for any stage", "milled", ""],
    ["a stage that is not known", null, "re-fired"],
  ] as const)("%s says nothing", (_, stage, bandStage) => {
    expect(stageGap(stage, bandStage)).toBeNull();
  });
  test("the headline begins with the gap and has no verdict of its own", () => {
    const { band, measurements } = demoLot("garnet-09");
    const words = verdictWords(checkAnswer(measurements, band), stageGap("milled", band.stage));
    expect(words.verdict).toBe("");
    expect(words.headline).toMatch(/^This is milled powder; .* As measured \(six runs\), the powder /);
    expect(`${words.headline} ${words.more}`).not.toMatch(/in band|out of band/i);
  });
});

describe("the words of a check", () => {
  test("the headline is the verdict, the runs and the limit farthest out; the rest follows", () => {
    const { band, measurements } = demoLot("garnet-09");
    const answer = releaseCheck(measurements, band);
    const { verdict, headline, more } = verdictWords(answer);
    expect(verdict).toBe("Out of band");
    expect(headline).toMatch(
      /^, six runs\. \S+ .* is above its upper limit of .*: under 1 % chance of being in band\.$/,
    );
    expect(headline.length).toBeLessThan(120);
    expect(answer.sentence).toBe(`${verdict}${headline} ${more}`);
  });
  test("an excess that the runs cannot tell from none touches the band, and is called less than they can tell", () => {
    const envelope = { sizesUm: [2, 3, 4.5], lowShares: [0, 0.502, 0.8], highShares: [0.2, 0.6, 1] };
    const runs = [2.97, 3, 3.03].map((d50, i) => powder(d50, { name: `run ${i}` }));
    const answer = checkAnswer(runs, { ...bandOf([], envelope), rule: "two-sided" });
    expect(answer.verdict).toBe("on the edge");
    expect(answer.outside[0]?.verdict).toBe("on the edge");
    expect(answer.sentence).toMatch(
      /the curve is too close to the edge of the envelope to call: .* points coarser than allowed, which is within the run-to-run scatter\./,
    );
  });
  test("one run: where D50 sits, and that one run cannot tell how runs spread", () => {
    const { band, measurements } = demoLot("garnet-07");
    const { verdict, headline } = verdictWords(checkAnswer(measurements.slice(0, 1), band));
    expect(verdict).toBe("Not judged");
    expect(headline).toMatch(
      /^: one run; three runs or an agreed repeatability are needed\. D50 .* is within its limits, but one run cannot show the run-to-run scatter\.$/,
    );
  });
});

describe("a band that is made or edited", () => {
  const { measurements } = readTable(sample("reference/reference-powder.csv"), "x.csv", {});
  const of = { name: "about it", stage: "re-fired", densityGPerCm3: 4.55 };
  test("says how wide its limits came about: factor, runs, agreed tolerance; kept with it", () => {
    const band = bandFromRuns(measurements, of);
    const d50 = band.rows.find((row) => row.limit === "d50Um");
    expect(d50?.source).toMatch(
      /^Mean .* µm ± .* µm, the larger of .* \(\S+ times the scatter of \S+ runs\) and .* \(the agreed 3\.00 %\)\.$/,
    );
    expect(band.source).toMatch(
      /^Mean curve of \S+ runs ± the larger of .* the agreed 1\.50 percentage points/,
    );
    expect(readBand(writeBand(band), null).band).toEqual(band);
  });
  test("number runs of a reference are turned into volume before a band is drawn about them", () => {
    const runs = [1, 2, 3, 4, 5].map((i) => powder(3 + i / 100, { quantity: "number", name: `run ${i}` }));
    const d50 = bandFromRuns(runs, of).rows.find((row) => row.limit === "d50Um");
    expect(d50?.low).toBeGreaterThan(4);
    expect(() =>
      bandFromRuns(
        runs.map((_, i) => powder(3, { quantity: "number", belowShare: 0.01, name: `run ${i}` })),
        of,
      ),
    ).toThrow(/by volume/);
  });
  test("a lower limit above its upper one is named in plain words, with its place in the file beside", () => {
    const [fault] = parseBand(bandOf([{ limit: "d90Um", low: 6, high: 5 }]), null).problems;
    expect(fault?.message).toBe(
      "The band's lower limit of D90 must be at most its upper limit of 5, found 6.",
    );
    expect(fault?.expected).toMatch(/^rows\[0\]\.low/);
  });
});

describe("what a check hangs on", () => {
  const narrow = (rows: Band["rows"]): Band => ({
    version: 1,
    name: "b",
    stage: "",
    densityGPerCm3: null,
    rule: "two-sided",
    rows,
    envelope: null,
  });
  test("two runs with an agreed repeatability are judged like more", () => {
    const d50 = { limit: "d50Um", low: 2.9, high: 3.1, repeatabilitySd: 0.02 };
    const { verdict, sentence } = checkAnswer([powder(4), powder(4.01)], narrow([d50]));
    expect(verdict).toBe("out of band");
    expect(sentence).toMatch(/D50 4(\.\d+)? µm .*is above its upper limit of 3\.10 µm/);
    expect(sentence).not.toMatch(/cannot show the run-to-run scatter/);
  });
  test("the row least likely to hold is the narrow one, wherever it stands", () => {
    const runs = [2.97, 3, 3.04].map((um) => powder(um));
    const rows = [
      { limit: "d50Um", low: 2.99, high: 3.01 },
      { limit: "d90Um", low: 1, high: 20 },
      { limit: "d10Um", low: 0.5, high: 20 },
    ];
    for (const order of [rows, rows.toReversed()])
      expect(sizeShiftAnswer(runs, narrow(order))?.leastNow?.row.limit).toBe("d50Um");
  });
  test("how much of the volume rests on the coarsest two classes (by hand: 0.9, 8 · 0.09 and 64 · 0.01)", () => {
    const counted = {
      file: null,
      name: "counted",
      distribution: sizeDistribution({
        quantity: "number",
        lowerUm: [1, 2, 4],
        upperUm: [2, 4, 8],
        shares: [0.9, 0.09, 0.01],
        belowShare: 0,
        aboveShare: 0,
      }),
    };
    expect(byVolume([counted]).problems[0]?.message).toMatch(
      /coarsest two classes then hold 60\.2 % of the volume, from 10\.0 % of the number/,
    );
  });
});
