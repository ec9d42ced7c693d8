import type uPlot from "uplot";

/** The named inks of the sheet; each is a custom property, so paper, light and dark each have their own. */
export type Ink =
  | "paper"
  | "ink"
  | "muted"
  | "rule"
  | "accent"
  | "warm"
  | "leaf"
  | "band"
  | "band-edge"
  | "ribbon"
  | "ribbon-inner"
  | "none";

/** The colour of an ink as the page's theme has it. */
export type InkFor = (name: Ink) => string;

/** How a line looks. Each differs from the others without colour: by weight and by dash. */
export type Stroke =
  | "product"
  | "predicted"
  | "stage-1"
  | "stage-2"
  | "stage-3"
  | "stage-4"
  | "median"
  | "edge"
  | "band-edge"
  | "hidden";

export function inkOf(element: Element, name: Ink): string {
  return name === "none"
    ? "transparent"
    : getComputedStyle(element).getPropertyValue(`--${name}`).trim() || "#000";
}

const looks: Record<Stroke, { ink: Ink; width: number; dash: number[] }> = {
  product: { ink: "accent", width: 2, dash: [] },
  predicted: { ink: "ink", width: 2, dash: [9, 4] },
  "stage-1": { ink: "warm", width: 1.5, dash: [7, 3] },
  "stage-2": { ink: "leaf", width: 1.5, dash: [3, 2, 8, 2] },
  "stage-3": { ink: "ink", width: 1.5, dash: [2, 3] },
  "stage-4": { ink: "muted", width: 1.5, dash: [12, 4] },
  median: { ink: "accent", width: 2, dash: [] },
  "band-edge": { ink: "band-edge", width: 1, dash: [] },
  edge: { ink: "none", width: 0, dash: [] },
  hidden: { ink: "none", width: 0, dash: [] },
};

export function inkOfStroke(stroke: Stroke): Ink {
  return looks[stroke].ink;
}

export function strokes(stroke: Stroke, ink: (name: Ink) => string): uPlot.Series {
  const look = looks[stroke];
  return {
    scale: "y",
    stroke: () => ink(look.ink),
    width: look.width,
    dash: look.dash,
    points: { show: false },
    spanGaps: true,
    // On whole pixels a curve would climb in stairs.
    pxAlign: 0,
  };
}
