import type uPlot from "uplot";
import type { ChartMark } from "#model/pictures/chartPicture.ts";
import type { Ink, Stroke } from "./ink.ts";

export interface DrawnLine {
  readonly key: string;
  readonly label: string;
  readonly stroke: Stroke;
  readonly values: readonly (number | null)[];
  /** What is read out at each place, where it is not the value that is drawn. */
  readonly said?: readonly (string | null)[];
  /** The value at which the line's own label is written; none when left out. */
  readonly labelAt?: number;
}

export interface Fill {
  readonly highKey: string;
  readonly lowKey: string;
  readonly ink: "band" | "ribbon" | "ribbon-inner";
}

export interface Axis {
  readonly label: string;
  readonly range: readonly [number, number];
  readonly log?: boolean;
  /** How a value is read out, with its unit; plain decimals when left out. */
  readonly show?: (value: number) => string;
  /** Where ticks stand and what they say, for an axis that is neither even nor logarithmic. */
  readonly ticks?: readonly { readonly at: number; readonly label: string }[];
  /** How a tick is written; plain decimals when left out, since the label names the unit. */
  readonly tick?: (value: number) => string;
}

/** What stands over a chart's lines, and how it is painted in the chart's coordinates and inks. */
export interface MarksOver {
  readonly marks: readonly ChartMark[];
  readonly paint: (chart: uPlot, ink: (name: Ink) => string) => void;
}

/** Lines without a name of their own beneath a chart's lines, and how they are painted. */
export interface LinesUnder {
  /** What each is called, and its values at the sizes of the axis. */
  readonly linesAt: (
    xs: readonly number[],
  ) => readonly { readonly label: string; readonly values: readonly number[] }[];
  readonly paint: MarksOver["paint"];
}

/** What a line chart draws. */
export interface LineChartProps {
  /** One sentence that says what the picture shows: all that a screen reader gets before the table. */
  readonly finding: string;
  readonly x: Axis;
  readonly y: Axis;
  readonly xs: readonly number[];
  readonly lines: readonly DrawnLine[];
  readonly fills?: readonly Fill[];
  readonly under?: LinesUnder | undefined;
  readonly over?: MarksOver;
  /** In pixels; "fill" takes what the frame leaves. */
  readonly height?: number | "fill";
}

/** Which stretch of its axis a chart shows: a part of it, or with null all. */
export interface Zoom {
  part: readonly [number, number] | null;
}

/** What stands below a chart until a value is read. */
export const hint = "Point at the chart or use the arrow keys to read values; drag to zoom.";
