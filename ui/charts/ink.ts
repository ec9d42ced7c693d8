import type uPlot from "uplot";
import { stagesNamed, type UsualStage } from "#model/lot/stages.ts";

/** The named inks of the sheet; each is a custom property of styles/tokens.css, so paper, light and dark each have their own. */
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
  | "none"
  | UsualStage
  | `${UsualStage}-word`;

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
  | "hidden"
  | `${Way} ${string}`;

/** A stage that is judged is firm, one that is predicted dashed and firm, one beside it thin. */
type Way = "firm" | "predicted" | "thin";

interface Look {
  readonly ink: Ink;
  readonly word: Ink;
  readonly width: number;
  readonly dash: number[];
}

export function inkOf(element: Element, name: Ink): string {
  return name === "none"
    ? "transparent"
    : getComputedStyle(element).getPropertyValue(`--${name}`).trim() || "#000";
}

const look = (ink: Ink, width: number, dash: number[] = []): Look => ({ ink, word: ink, width, dash });

const looks: Readonly<Record<string, Look>> = {
  product: look("accent", 2),
  predicted: look("ink", 2, [9, 4]),
  "stage-1": look("warm", 1.5, [7, 3]),
  "stage-2": look("leaf", 1.5, [3, 2, 8, 2]),
  "stage-3": look("ink", 1.5, [2, 3]),
  "stage-4": look("muted", 1.5, [12, 4]),
  median: look("accent", 2),
  "band-edge": look("band-edge", 1),
};
const unseen = look("none", 0);

/** What tells a stage from the others in black and white. */
const dashes: Readonly<Record<UsualStage, number[]>> = {
  precursor: [12, 4],
  fired: [7, 3],
  crushed: [2, 3],
  milled: [3, 2, 8, 2],
  "re-fired": [14, 3],
  reference: [1, 2],
};

function lookOf(stroke: Stroke): Look {
  const [way = "", name = ""] = stroke.split(" ");
  const [stage] = stagesNamed([name]);
  if (stage === undefined) return looks[stroke] ?? unseen;
  const dash = way === "thin" ? dashes[stage] : way === "firm" ? [] : [9, 4];
  return { ink: stage, word: `${stage}-word`, width: way === "thin" ? 1.5 : 2.5, dash };
}

/** The stroke of a line that is named after a stage; another one's is of the same weight. */
export function strokeNamed(label: string, way: Way, other: Stroke): Stroke {
  const [stage] = stagesNamed([label]);
  return stage === undefined ? other : `${way} ${stage}`;
}

/** The ink of a line's name. */
export function inkOfStroke(stroke: Stroke): Ink {
  return lookOf(stroke).word;
}

export function strokes(stroke: Stroke, ink: (name: Ink) => string): uPlot.Series {
  const { ink: name, width, dash } = lookOf(stroke);
  return {
    scale: "y",
    stroke: () => ink(name),
    width,
    dash,
    points: { show: false },
    spanGaps: true,
    // On whole pixels a curve would climb in stairs.
    pxAlign: 0,
  };
}
