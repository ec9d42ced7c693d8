import { individuals } from "#model/factors/individuals.ts";
import { lineThrough } from "#model/numbers/line.ts";
import { areaBars } from "#model/pictures/areaBars.ts";
import { effectPicture } from "#model/pictures/effectPicture.ts";
import { finesBars } from "#model/pictures/finesBars.ts";
import { lotChart } from "#model/pictures/lotChart.ts";
import type { Picture } from "#model/pictures/picture.ts";
import { ratioLine } from "#model/pictures/ratioLine.ts";
import { sizesBeside } from "#model/pictures/sizesBeside.ts";

const history = [3.1, 3.05, 3.15, 3.08, 3.12, 3.4, 3.07, 3.11, 3.09, 3.13];
const effect = [1480, 1500, 1520, 1540, 1560, 1580].map((x, i) => ({
  lot: `lot ${i + 1}`,
  x,
  y: 2.8 + 0.09 * i + (i % 2) * 0.04,
}));
const bars = [0.1, 0.3, 0.35, 0.2, 0.05].map((share, i) => ({
  fromUm: 0.5 * 2 ** i,
  toUm: 2 ** i,
  share,
}));

/** Points gained below three sizes, each with an interval. */
const fines = (pointsAt: (i: number) => number) =>
  [0.5, 1, 2].map((belowUm, i) => {
    const value = pointsAt(i);
    const interval = { low: value - 0.5, high: value + 0.5, level: 0.95 };
    return { belowUm, points: { value, interval }, grams: null };
  });

/** The pictures made of marks, each for the width there is. */
export const drawings: readonly {
  readonly name: string;
  readonly draw: (width: number) => Picture | null;
}[] = [
  {
    name: "percentile-ratio line",
    draw: (width) =>
      ratioLine(
        [
          { name: "Garnet host, lot 05, milled", lnRatios: [0.05, 0.03, 0.01, -0.02, -0.06] },
          { name: "Garnet host, lot 06, milled", lnRatios: [-0.1, -0.12, -0.13, -0.12, -0.1] },
        ],
        [0.02, 0.015, 0.01, 0.015, 0.03],
        [10, 25, 50, 75, 90],
        { name: "Two lots against a reference.", width },
      ),
  },
  {
    name: "fines balance",
    draw: (width) =>
      finesBars(
        [
          { from: "fired", to: "milled", fines: fines((i) => 2 + 6 * i) },
          { from: "milled", to: "re-fired", fines: fines((i) => -1 - 2 * i) },
        ],
        { name: "Fines made by milling and lost on re-firing.", width },
      ),
  },
  { name: "area by size", draw: (width) => areaBars(bars, "What an area rests on.", width) },
  {
    name: "sizes side by side",
    draw: (width) => {
      const over = (value: number, part: number) => ({
        value,
        low: value * (1 - part),
        high: value * (1 + part),
        level: 0.95,
        runs: 3,
        basis: "runs" as const,
      });
      const rows = [
        { name: "fired", d50Um: 17.1, part: 0.04 },
        { name: "crushed", d50Um: 9.17, part: 0.03 },
        { name: "milled", d50Um: 2.98, part: 0.02 },
        { name: "re-fired", d50Um: 3.41, part: 0.08 },
      ].map(({ name, d50Um, part }) => ({
        name,
        d10Um: over(d50Um / 2, part),
        d50Um: over(d50Um, part),
        d90Um: over(d50Um * 1.9, part),
      }));
      return sizesBeside(rows, { name: "Sizes of four stages.", width });
    },
  },
  {
    name: "history of lots",
    draw: (width) =>
      lotChart(
        history,
        history.map((_, i) => `lot ${i + 1}`),
        individuals(history),
        {
          label: "D50, µm",
          name: "Ten lots with target and limits.",
          target: { low: 2.95, high: 3.35 },
          width,
        },
      ),
  },
  {
    name: "effect of a setting",
    draw: (width) => {
      const line = lineThrough(
        effect.map((p) => p.x),
        effect.map((p) => p.y),
        0.95,
      );
      return effectPicture(effect, line, {
        xLabel: "temperature, °C",
        yLabel: "D50, µm",
        name: "A size that rises with the temperature of firing.",
        width,
      });
    },
  },
];
