import { describe, expect, test } from "vitest";
import { individuals } from "#model/factors/individuals.ts";
import { evenSteps } from "#model/numbers/evenSteps.ts";
import { chartPicture } from "#model/pictures/chartPicture.ts";
import { finesBars } from "#model/pictures/finesBars.ts";
import { inBandMap } from "#model/pictures/inBandMap.ts";
import { lotChart } from "#model/pictures/lotChart.ts";
import { overlaySvg } from "#model/pictures/overlaySvg.ts";
import type { Picture } from "#model/pictures/picture.ts";
import { pictureSvg } from "#model/pictures/pictureSvg.ts";
import { drawings } from "../../browser/gallery/drawings.ts";
import { band, d50Um, powder, speedsRpm } from "../../browser/gallery/fixed.ts";

// Each drawing was looked at and approved as it stands in tests/model/pictures/drawn/, where any browser opens it. One that is
// changed on purpose is looked at again and written anew: npx vitest run --config tests/vitest.config.ts drawn --update
function svgOf(picture: Picture | null): string {
  if (picture === null) throw new Error("nothing is drawn");
  return `${pictureSvg(picture).replaceAll("><", ">\n<")}\n`;
}
const file = (name: string) => `drawn/${name.replace(/\W+/g, "-")}.svg`;

describe.each([720, 320])("%i wide", (width) => {
  test.each(drawings.map((d) => [d.name, d.draw] as const))("%s", async (name, draw) => {
    await expect(svgOf(draw(width))).toMatchFileSnapshot(file(`${name} ${width}`));
  });
});

test("a fines balance in grams, with a step that has no interval", async () => {
  const estimate = (value: number, half: number | null) => ({
    value,
    interval: half === null ? null : { low: value - half, high: value + half, level: 0.95 },
  });
  const steps = [
    {
      from: "milled",
      to: "re-fired",
      fines: [
        { belowUm: 0.5, points: estimate(-3, null), grams: { change: estimate(-36, null) } },
        { belowUm: 1, points: estimate(4.2, 0.6), grams: { change: estimate(51, 8) } },
      ],
    },
  ];
  await expect(svgOf(finesBars(steps, { name: "Grams." }))).toMatchFileSnapshot(
    file("fines balance in grams"),
  );
});

test("a history with two lots off their limits, of which the later is named", async () => {
  const values = [3.1, 3.05, 3.15, 3.08, 3.12, 3.07, 3.11, 3.09, 3.6, 3.62];
  const lots = values.map((_, i) => `garnet lot ${i + 1}`);
  const picture = lotChart(values, lots, individuals(values), { label: "D50, µm", name: "Ten.", width: 400 });
  await expect(svgOf(picture)).toMatchFileSnapshot(file("history with hits"));
});

test("a history of two lots: no limits, every name has room", async () => {
  const picture = lotChart([3, 3.2], ["a", "a lot with a long name"], null, {
    label: "D50, µm",
    name: "Two.",
  });
  await expect(svgOf(picture)).toMatchFileSnapshot(file("history of two lots"));
});

test("a chart with all that can stand on one, and what lies outside it at its edges", async () => {
  const picture = chartPicture({
    name: "D50 against wheel speed.",
    x: { label: "wheel speed, rpm", range: [3000, 9000] },
    y: { label: "D50, µm", range: [1.5, 7], log: true },
    xs: speedsRpm,
    lines: [
      { label: "milled", look: "firm", values: d50Um },
      { label: "coarser", look: "dashed", values: d50Um.map((v) => v * 1.4) },
      { label: "near it", look: "dotted", values: d50Um.map((v, i) => (i < 9 ? null : v * 1.02)) },
    ],
    fills: [{ low: d50Um.map((v) => v * 0.9), high: d50Um.map((v) => v * 1.1) }],
    marks: [
      { kind: "strip", low: 2.8, high: 3.4, label: "aim" },
      { kind: "wall", x: 8500, label: "rated" },
      { kind: "pointer", x: 5800, label: "here" },
      { kind: "point", x: 5000, y: 9 },
      { kind: "point", x: 6500, y: 2.8, small: true },
      { kind: "point", x: 9500, y: 2.8 },
    ],
  });
  await expect(svgOf(picture)).toMatchFileSnapshot(file("chart with marks"));
});

test("a curve and others on a band", async () => {
  const others = [{ name: "fired", curve: powder(9, 1.9) }];
  const drawn = overlaySvg({ name: "re-fired", curve: powder(3.1, 1.6) }, others, band.envelope ?? null);
  await expect(`${drawn.replaceAll("><", ">\n<")}\n`).toMatchFileSnapshot(file("overlay"));
});

test.each([
  ["likely", 0.95],
  ["unlikely", 0.3],
])("the map of chances, %s", async (name, top) => {
  const xs = evenSteps(4000, 9000, 11);
  const ys = evenSteps(120, 280, 9);
  const hill = (x: number, y: number) =>
    top *
    Math.exp(-(((x - 6500) / 1200) ** 2) - ((y - 200) / 60) ** 2 + ((x - 6500) / 1200) * ((y - 200) / 80));
  const points = [
    { kind: "trial", label: "", speedRpm: 5000, flowM3PerH: 180 },
    { kind: "here", label: "here", speedRpm: 6000, flowM3PerH: 190 },
    { kind: "best", label: "likeliest", speedRpm: 6600, flowM3PerH: 205 },
    { kind: "next", label: "next trial", speedRpm: 9000, flowM3PerH: 280 },
    { kind: "trial", label: "", speedRpm: 3000, flowM3PerH: 180 },
  ] as const;
  const grid = { xs, ys, values: ys.map((y) => xs.map((x) => hill(x, y))) };
  const map = inBandMap(grid, points, 8800, 640);
  const rounded = JSON.stringify(
    map,
    (_, value: unknown) => (typeof value === "number" ? Number(value.toFixed(2)) : value),
    1,
  );
  await expect(`${rounded}\n`).toMatchFileSnapshot(`drawn/map-${name}.txt`);
});
