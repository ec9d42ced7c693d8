import { describe, expect, test } from "vitest";
import { sizeDistribution } from "#distributions/sizeDistribution.ts";
import { readHistory } from "#distributions/tables/reading/readHistory.ts";
import { againstAnswer } from "#model/answers/compare/againstAnswer.ts";
import { historyAnswer } from "#model/answers/factors/historyAnswer.ts";
import { individuals } from "#model/factors/individuals.ts";
import { powder } from "../powder.ts";

const ofWidth = (medianUm: number) => powder(medianUm, 1.6);
const lot = (name: string, medianUm: number, parts = [-0.01, 0, 0.01]) => ({
  name,
  runs: parts.map((part) => ofWidth(medianUm * (1 + part))),
});

describe("powders against a reference", () => {
  const answer = againstAnswer([lot("ref", 3), lot("far", 4.5), lot("near", 3.15), lot("same", 3.002)]);
  test("the nearest stands first, and the line of a shifted powder is level at ln ρ", () => {
    expect(answer.others.map((o) => o.name)).toEqual(["same", "near", "far"]);
    const far = answer.others[2];
    expect(far?.shiftPercent).toBeCloseTo(50, 0);
    for (const ratio of far?.lnRatios ?? []) expect(ratio).toBeCloseTo(Math.log(1.5), 2);
  });
  test("what lies within the reference's own noise cannot be told from it", () => {
    expect(answer.others.map((o) => o.isWithinNoise)).toEqual([true, false, false]);
    expect(answer.sentence).toMatch(/Not distinguishable from it: same\.$/);
    expect(answer.sentence).toMatch(/The runs of the reference differ by 1\.\d+ % in size and/);
  });
  test("what lies within the noise by its largest gap alone can still be told apart by its shift", () => {
    // The wider powder moves little at any one size but over all of them.
    const ref = lot("ref", 3, [-0.05, 0, 0.05]);
    const { others, noise } = againstAnswer([ref, { name: "wider", runs: [powder(3, 1.79)] }]);
    expect(others[0]?.maxGapPoints).toBeLessThan(noise?.maxGapPoints ?? 0);
    expect(others[0]?.shiftPercent).toBeGreaterThan(noise?.shiftPercent ?? 0);
    expect(others[0]?.isWithinNoise).toBe(false);
  });
  test("the same distance tells many runs from the reference, not a single one: a mean scatters less", () => {
    // About 7.6 % between the reference's runs: of one run against a mean 7.2 % are noise, of twelve 4.0 %.
    const ref = lot("ref", 3, [-0.05, 0, 0.05]);
    const apart = (runs: number) =>
      againstAnswer([
        ref,
        lot(
          "near",
          3.18,
          Array.from({ length: runs }, () => 0),
        ),
      ]).others[0];
    expect([apart(1)?.isWithinNoise, apart(12)?.isWithinNoise]).toEqual([true, false]);
  });
  test("a reference of one run has no noise, and says so", () => {
    const one = againstAnswer([lot("ref", 3, [0]), lot("a", 3.1)]);
    expect(one.noise).toBeNull();
    expect(one.others[0]?.isWithinNoise).toBeNull();
    expect(one.problems[0]?.message).toMatch(/its repeatability is not known/);
  });
  test("where the reference cannot be counted by volume, no other takes its place", () => {
    const open = lot("ref", 3, [0]).runs.map((run) => ({
      ...run,
      distribution: sizeDistribution({
        ...run.distribution,
        quantity: "number",
        measuredAs: "number",
        shares: run.distribution.shares.map((v) => 0.9 * v),
        belowShare: 0.1 + 0.9 * run.distribution.belowShare,
        aboveShare: 0.9 * run.distribution.aboveShare,
      }),
    }));
    const answer = againstAnswer([{ name: "ref", runs: open }, lot("a", 3), lot("b", 3.2)]);
    expect(answer.others).toEqual([]);
    expect(answer.sentence).toMatch(/^No comparison is possible/);
  });
  test("two to twenty powders are compared, no fewer and no more", () => {
    const lots = (count: number) => Array.from({ length: count }, (_, i) => lot(`lot ${i}`, 3, [0]));
    for (const count of [2, 20]) expect(againstAnswer(lots(count)).others).toHaveLength(count - 1);
    for (const count of [0, 1, 21]) expect(() => againstAnswer(lots(count))).toThrow(/two to twenty/);
  });
  test("twenty lots of six runs answer within the time of a blink, with room for a busy machine", () => {
    const lots = Array.from({ length: 20 }, (_, i) =>
      lot(`lot ${i}`, 3 + i / 50, [-0.02, -0.01, 0, 0.01, 0.02, 0.03]),
    );
    againstAnswer(lots);
    const begun = performance.now();
    againstAnswer(lots);
    expect(performance.now() - begun).toBeLessThan(2000);
  });
});

describe("charts of single values", () => {
  test("a value beyond a limit, two near one, four on a side, eight on a side: each hit once, with its place", () => {
    const level = [10, 10.2, 9.9, 10.1, 9.8, 10.1, 9.9, 10.2, 9.9, 10];
    expect(individuals(level)?.hits).toEqual([]);
    expect(individuals([...level, 13])?.hits).toContainEqual({
      rule: "beyond a limit",
      at: 10,
      side: "high",
    });
    const stepped = [
      ...Array.from({ length: 8 }, (_, i) => 9 + 0.01 * (i % 2)),
      ...Array.from({ length: 8 }, (_, i) => 11 + 0.01 * (i % 2)),
    ];
    expect(individuals(stepped)?.hits.some((h) => h.rule === "eight on one side" && h.side === "high")).toBe(
      true,
    );
  });
  test("four lots have no limits, and lots that are all alike hit nothing", () => {
    expect(individuals([1, 2, 3, 4])).toBeNull();
    expect(individuals([2, 2, 2, 2, 2])?.hits).toEqual([]);
  });
});

describe("history of lots", () => {
  const rows = Array.from(
    { length: 9 },
    (_, i) => `lot ${i},${1500 + 10 * i},${3 + 0.02 * i + (i % 2) * 0.01},${(i * 7) % 5},`,
  );
  const history = readHistory(["lot,firingC,d50Um,noise,note", ...rows].join("\n"), "h.csv");
  const answer = historyAnswer(history, { of: ["d50Um", "noise"], factors: ["firingC"] });
  test("an effect that is there is told with its interval, one that is not is not", () => {
    const [size, noise] = answer.effects;
    expect(size?.verdict).toBe("rises");
    expect(size?.line?.slope).toBeCloseTo(0.002, 4);
    expect(size?.sentence).toMatch(
      /^D50 rises with firing temperature by 0\.0020 µm per °C \(.*nine lots\)\. This is a correlation/,
    );
    expect(noise?.verdict).toBe("no effect told");
    expect(noise?.sentence).toMatch(/^No significant effect of firing temperature on noise was found/);
  });
  test("a lot without the result or the setting counts for neither", () => {
    const gappy = readHistory(
      ["lot,firingC,d50Um,noise,note", ...rows, "x,,9.9,1,a", "y,1900,,1,b"].join("\n"),
      null,
    );
    const entered = historyAnswer(gappy, { of: ["d50Um"], factors: ["firingC"] });
    expect(entered.effects[0]?.line).toEqual(answer.effects[0]?.line);
  });
  test("a setting that was the same for all lots is no slope, whatever the last bits of its mean", () => {
    for (const same of ["0.1", "1050.3", "-7.7", "0"]) {
      const alike = readHistory(
        ["lot,t,d", ...rows.map((r, i) => `l${i},${same},${r.split(",")[2]}`)].join("\n"),
        null,
      );
      const entered = historyAnswer(alike, { of: ["d"], factors: ["t"] });
      expect(entered.effects[0]?.line, same).toBeNull();
      expect(entered.sentence).toContain(
        "No effect of t on d can be found: t was the same for all nine lots.",
      );
      expect(entered.sentence).not.toContain("too few lots");
    }
  });
  test("five lots are too few for an effect, and four for a chart", () => {
    const few = readHistory(
      ["lot,t,d", ...rows.slice(0, 5).map((r) => r.split(",").slice(0, 3).join(","))].join("\n"),
      null,
    );
    const entered = historyAnswer(few, { of: ["d"], factors: ["t"] });
    expect(entered.effects[0]?.verdict).toBe("too few lots");
    expect(entered.charts[0]?.sentence).toMatch(/provisional control limits/);
    const fewer = historyAnswer(
      { lots: few.lots.slice(0, 4), columns: [{ name: "d", values: [1, 2, 3, 4] }] },
      { of: ["d"], factors: [] },
    );
    expect(fewer.charts[0]?.sentence).toMatch(
      /no control limits yet: they need five lots, and there are four lots/,
    );
  });
  test("an unknown column is named, words are left out, a bad cell is refused", () => {
    expect(historyAnswer(history, { of: ["x"], factors: [] }).problems[0]?.message).toMatch(/no column x/);
    expect(readHistory("lot,a\n1,red\n2,blue\n", null).problems[0]?.severity).toBe("note");
    expect(readHistory("lot,a\n1,3\n2,blue\n", null).problems[0]).toMatchObject({
      severity: "refused",
      row: 3,
    });
    expect(readHistory("", null).problems[0]?.severity).toBe("refused");
  });
});

test("a powder without a measurement is named", () => {
  expect(() => againstAnswer([lot("ref", 3), { name: "none", runs: [] }])).toThrow(
    "powder none must have a measurement, got 0",
  );
});

test("six lots are enough for an effect", () => {
  const rows = Array.from(
    { length: 6 },
    (_, i) => `lot ${i},${1500 + 10 * i},${3 + 0.02 * i + (i % 2) * 0.002}`,
  );
  const history = readHistory(["lot,firingC,d50Um", ...rows].join("\n"), null);
  const { effects } = historyAnswer(history, { of: ["d50Um"], factors: ["firingC"] });
  expect(effects[0]?.verdict).toBe("rises");
});
