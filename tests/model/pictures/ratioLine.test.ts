import { describe, expect, test } from "vitest";
import { againstAnswer } from "#model/answers/compare/againstAnswer.ts";
import { linePercents } from "#model/compare/against.ts";
import { finesBars } from "#model/pictures/finesBars.ts";
import type { Picture } from "#model/pictures/picture.ts";
import { pictureSvg } from "#model/pictures/pictureSvg.ts";
import { ratioLine } from "#model/pictures/ratioLine.ts";
import { powder } from "../powder.ts";

const lot = (name: string, medianUm: number, gsd = 1.5) => ({
  name,
  runs: [-0.01, 0, 0.01].map((part) => powder(medianUm * (1 + part), gsd)),
});
const linesOf = (picture: Picture | null, look: string) =>
  picture?.marks.flatMap((m) => (m.kind === "line" && m.look === look ? [m.points] : [])) ?? [];
const wordsOf = (picture: Picture | null) =>
  picture?.marks.flatMap((m) => (m.kind === "words" ? [m] : [])) ?? [];

describe("the percentile-ratio line as a picture", () => {
  const answer = againstAnswer([lot("ref", 3), lot("moved", 3.6), lot("wider", 3, 1.6)]);
  const drawn = ratioLine(answer.others, answer.noise?.lnRatios ?? null, answer.percents, { name: "ratios" });
  test("a moved powder's line is level, a wider one's rises with the percentile", () => {
    const at = answer.others.findIndex((o) => o.name === "moved");
    const looks = ["dashed", "long"];
    const moved = linesOf(drawn, looks[at] ?? "")[0] ?? [];
    const wider = linesOf(drawn, looks[1 - at] ?? "")[0] ?? [];
    const heights = moved.map(([, y]) => y);
    expect(Math.max(...heights) - Math.min(...heights)).toBeLessThan(6);
    expect(wider[0]?.[1]).toBeGreaterThan(wider.at(-1)?.[1] ?? 0);
  });
  test("the noise of the reference's runs is its own runs' largest ratio, 1 % and a half of them apart", () => {
    // Each run against the mean of two others: 1.5 % at the ends, for every percentile of a shifted log-normal.
    for (const ln of answer.noise?.lnRatios ?? []) expect(ln).toBeCloseTo(Math.log(1.015), 2);
    expect(drawn?.marks.some((m) => m.kind === "area" && m.look === "ground")).toBe(true);
    const bare = ratioLine(answer.others, null, answer.percents, { name: "ratios" });
    expect(bare?.marks.some((m) => m.kind === "area")).toBe(false);
  });
  test("nineteen names at line ends never lie on one another", () => {
    const lines = Array.from({ length: 19 }, (_, i) => ({
      name: `lot ${i}`,
      lnRatios: linePercents.map(() => 0.001 * i),
    }));
    const picture = ratioLine(lines, null, linePercents, { name: "many" });
    const heights = wordsOf(picture)
      .filter((w) => w.text.startsWith("lot"))
      .map((w) => w.at[1])
      .sort((a, b) => a - b);
    expect(heights.length).toBe(19);
    for (const [i, h] of heights.entries())
      if (i > 0) expect(h - (heights[i - 1] ?? 0)).toBeGreaterThanOrEqual(12.9);
    expect(heights.at(-1)).toBeLessThanOrEqual(picture?.height ?? 0);
  });
  test("the picture holds the noise on both sides, and grows with its lines", () => {
    const line = (i: number) => ({ name: `lot ${i}`, lnRatios: linePercents.map(() => 0.01) });
    const noise = linePercents.map(() => 0.5);
    const picture = ratioLine([line(0)], noise, linePercents, { name: "noisy" });
    const ground = picture?.marks.flatMap((m) => (m.kind === "area" && m.look === "ground" ? m.points : []));
    const heights = ground?.map(([, y]) => y) ?? [];
    expect(heights.length).toBeGreaterThan(0);
    expect(Math.min(...heights)).toBeGreaterThan(0);
    expect(Math.max(...heights)).toBeLessThan((picture?.height ?? 0) - 20);
    const heightOf = (count: number) =>
      ratioLine(
        Array.from({ length: count }, (_, i) => line(i)),
        null,
        linePercents,
        { name: "many" },
      )?.height ?? 0;
    expect(heightOf(2)).toBe(260);
    expect(heightOf(20) - heightOf(18)).toBeGreaterThanOrEqual(2 * 12.9);
  });
  test("names too long for the width stand beneath, and their numbers at the lines' ends", () => {
    const lines = ["Garnet host, lot 05, milled", "Garnet host, lot 06, milled"].map((name, i) => ({
      name,
      lnRatios: linePercents.map(() => 0.1 * i),
    }));
    const at = (width: number) => ratioLine(lines, null, linePercents, { name: "narrow", width });
    const narrow = wordsOf(at(320));
    const percentiles = (width: number) =>
      wordsOf(at(width)).flatMap((w) => (/^D\d+$/.test(w.text) ? [w.text] : []));
    expect(percentiles(320)).toEqual(["D10", "D50", "D90"]);
    expect(percentiles(720)).toEqual(["D10", "D25", "D50", "D75", "D90"]);
    expect(narrow.map((w) => w.text)).toEqual(expect.arrayContaining(["1", "2", `1  ${lines[0]?.name}`]));
    const reach = (w: (typeof narrow)[number]) =>
      w.at[0] + 6.4 * w.text.length * (w.anchor === "start" ? 1 : 0.5);
    for (const w of narrow) expect(reach(w), w.text).toBeLessThanOrEqual(320);
    expect(Math.max(...narrow.map((w) => w.at[1]))).toBeLessThan(at(320)?.height ?? 0);
    expect(wordsOf(at(720)).map((w) => w.text)).not.toContain("1");
  });
  test("nothing known is no picture", () => {
    expect(ratioLine([{ name: "a", lnRatios: [null] }], null, [50], { name: "none" })).toBeNull();
  });
});

describe("the fines ledger as bars", () => {
  const estimate = (value: number | null, reach: number | null = null) => ({
    value,
    interval:
      value === null || reach === null ? null : { low: value - reach, high: value + reach, level: 0.95 },
  });
  const step = (to: string, value: number | null, grams: number | null) => ({
    from: "crushed",
    to,
    fines: [
      {
        belowUm: 1,
        points: estimate(value, 0.2),
        grams: grams === null ? null : { change: estimate(grams) },
      },
    ],
  });
  test("made fines stand above the line and are filled, lost ones below and are hollow; points and grams beside", () => {
    const picture = finesBars([step("milled", 2.5, 12), step("re-fired", -1.25, null)], { name: "ledger" });
    const bars = picture?.marks.flatMap((m) => (m.kind === "area" ? [m] : [])) ?? [];
    expect(bars.map((b) => b.look)).toEqual(["ground", "hollow"]);
    const tops = bars.map((b) => b.points.map(([, y]) => y));
    const zero = tops[0]?.at(-1) ?? 0;
    expect(Math.min(...(tops[0] ?? []))).toBeLessThan(zero);
    expect(Math.max(...(tops[1] ?? []))).toBeGreaterThan(zero);
    const size = (ys: readonly number[] = []) => Math.max(...ys) - Math.min(...ys);
    expect(size(tops[0]) / size(tops[1])).toBeCloseTo(2, 6);
    const said = wordsOf(picture).map((w) => w.text);
    expect(said).toEqual(expect.arrayContaining(["+2.50", "+12.0 g", "−1.25", "crushed → re-fired"]));
    expect(said.filter((s) => s.endsWith(" g")).length).toBe(1);
  });
  test("one step on a narrow page is drawn all the same", () => {
    expect(finesBars([step("milled", 2.5, 12)], { name: "ledger", width: 60 })).not.toBeNull();
  });
  test("where there is little width, steps stand one below the other", () => {
    const steps = [step("milled", 2.5, 12), step("re-fired", -1.25, null)];
    const wide = finesBars(steps, { name: "ledger", width: 720 });
    const narrow = finesBars(steps, { name: "ledger", width: 280 });
    expect(narrow?.height).toBe(2 * (wide?.height ?? 0));
    for (const word of wordsOf(narrow)) expect(word.at[0]).toBeLessThanOrEqual(280);
  });
  test("an entry that is not known has no bar; none known is no picture", () => {
    expect(finesBars([step("milled", null, null)], { name: "none" })).toBeNull();
    const even = finesBars([step("milled", 0, null)], { name: "none gained" });
    expect(even === null ? "NaN" : pictureSvg(even)).not.toMatch(/NaN|Infinity/);
  });
});
