import { itemAt } from "#distributions/lists.ts";
import { evenSteps } from "#model/numbers/evenSteps.ts";
import { type Contour, contour, type GridPlace, type HeightGrid } from "./contours.ts";
import { decadeTicks, plainDecimal } from "./scale.ts";

/** A labelled mark on the map. */
export interface MapMark extends GridPlace {
  readonly kind: "trial" | "here" | "best" | "next";
  readonly label: string;
  /** Which side of the mark the label stands on, so that it stays inside the frame. */
  readonly side: "left" | "right";
  /** How far under the mark the label's line stands, negative above it, so that no two lie on each other. */
  readonly labelDown: number;
}

/** A contour with the chance it stands for. */
interface NamedContour extends Contour {
  readonly label: string;
}

/** The map of the chance in band, in its own units: a frame from (left, top) to (right, bottom). */
export interface InBandMap {
  readonly width: number;
  readonly height: number;
  readonly frame: {
    readonly left: number;
    readonly right: number;
    readonly top: number;
    readonly bottom: number;
  };
  /** Rising; ground of each lies on that of the one before. */
  readonly contours: readonly NamedContour[];
  readonly xTicks: readonly { readonly at: number; readonly label: string }[];
  readonly yTicks: readonly { readonly at: number; readonly label: string }[];
  readonly marks: readonly MapMark[];
  /** Where the rated speed stands; null outside the frame. */
  readonly ratedAt: number | null;
}

const levels = [0.1, 0.25, 0.5, 0.75, 0.9];
/** Where no setting is likely, so that the map still shows where it is likelier. */
const lowLevels = [0.02, 0.05, 0.1, 0.2, 0.3];
const lowHill = 0.35;

/** How far a contour's label keeps from a mark. */
const labelRoom = 24;

/** Where a mark's label may stand: below it, above it, a line lower or higher. */
const labelDowns = [17, -9, 30, -22] as const;
/** Room that such a label takes, along and across, at the size of the map's words. */
const markLabel = { width: 110, height: 13 } as const;

/**
 * The labels of marks, each at the first of its places that is inside the frame, clear of those before and over no mark;
 * where there is no such place, clear of those before.
 */
function withLabelsApart(marks: readonly MapMark[], frame: InBandMap["frame"]): MapMark[] {
  const placed: MapMark[] = [];
  for (const mark of marks) {
    if (mark.label === "") {
      placed.push(mark);
      continue;
    }
    const otherSide: MapMark["side"] = mark.side === "left" ? "right" : "left";
    const places = [mark.side, otherSide].flatMap((side) =>
      labelDowns.map((labelDown): MapMark => ({ ...mark, side, labelDown })),
    );
    const apart = places.filter(
      (place) => isInFrame(place, frame) && placed.every((p) => isLabelApart(p, place)),
    );
    placed.push(apart.find((place) => marks.every((each) => !liesOver(place, each))) ?? apart[0] ?? mark);
  }
  return placed;
}

function isInFrame(mark: MapMark, { left, right, top, bottom }: InBandMap["frame"]): boolean {
  const { x, y } = labelPlace(mark);
  const isAcross = x - markLabel.width / 2 >= left && x + markLabel.width / 2 <= right;
  return isAcross && y - markLabel.height >= top - 4 && y <= bottom;
}

const isLabelApart = (a: MapMark, b: MapMark) => a.label === "" || isApart(labelPlace(a), labelPlace(b));

/** Whether a mark's label would cover a mark. */
function liesOver(labelled: MapMark, { x, y }: GridPlace): boolean {
  const at = labelPlace(labelled);
  return Math.abs(x - at.x) < markLabel.width / 2 + 4 && y > at.y - markLabel.height - 4 && y < at.y + 6;
}

/** The middle of a mark's label. */
const labelPlace = ({ x, y, side, labelDown }: MapMark): GridPlace => ({
  x: x + ((side === "left" ? -1 : 1) * markLabel.width) / 2,
  y: y + labelDown,
});

const isApart = (a: GridPlace, b: GridPlace) =>
  Math.abs(a.x - b.x) >= markLabel.width || Math.abs(a.y - b.y) >= markLabel.height;

/** Whether a contour's name stands clear of a mark's. */
const isBeside = (name: GridPlace, at: GridPlace) =>
  Math.abs(name.x - at.x) >= markLabel.width / 2 + 18 || Math.abs(name.y - at.y) >= 18;

/** Whether two contours' names stand clear of each other, with room that tells which line is whose. */
const isClear = (a: GridPlace, b: GridPlace) => Math.abs(a.x - b.x) > 52 || Math.abs(a.y - b.y) > 26;

interface Scales {
  readonly height: number;
  readonly frame: InBandMap["frame"];
  readonly x: (speedRpm: number) => number;
  readonly y: (flowM3PerH: number) => number;
}

/** What a map is drawn for; its height follows from its width where none is asked. */
export type MapSize = number | { readonly width: number; readonly height: number };

function sizeOf(size: MapSize): { readonly width: number; readonly height: number } {
  return typeof size === "number"
    ? { width: size, height: Math.round(Math.min(340, Math.max(240, size * 0.45))) }
    : size;
}

function scalesOf({ xs, ys }: Axes, size: MapSize): Scales {
  const { width, height } = sizeOf(size);
  const frame = { left: 58, right: width - 22, top: 10, bottom: height - 42 };
  const scale = (list: readonly number[], from: number, to: number) => {
    const first = Math.log(itemAt(list, 0));
    const last = Math.log(itemAt(list, -1));
    const run = last - first || 1;
    return (v: number) => from + ((to - from) * (Math.log(v) - first)) / run;
  };
  return { height, frame, x: scale(xs, frame.left, frame.right), y: scale(ys, frame.bottom, frame.top) };
}

type Axes = Pick<HeightGrid, "xs" | "ys">;

/** The setting under a place of the map, held inside its frame: where a pointer drags to. */
export function settingAt(
  { xs, ys }: Axes,
  at: GridPlace,
  size: MapSize,
): { readonly speedRpm: number; readonly flowM3PerH: number } {
  const { frame } = scalesOf({ xs, ys }, size);
  const along = (list: readonly number[], share: number) => {
    const [first, last] = [itemAt(list, 0), itemAt(list, -1)];
    return first * (last / first) ** Math.min(Math.max(share, 0), 1);
  };
  return {
    speedRpm: along(xs, (at.x - frame.left) / (frame.right - frame.left)),
    flowM3PerH: along(ys, (frame.bottom - at.y) / (frame.bottom - frame.top)),
  };
}

interface MapPoint {
  readonly kind: MapMark["kind"];
  readonly label: string;
  readonly speedRpm: number;
  readonly flowM3PerH: number;
}

/** A point as a mark; null outside the frame. Cheap: a slider moves it. */
export function mapMark(
  axes: Axes,
  { kind, label, speedRpm, flowM3PerH }: MapPoint,
  size: MapSize,
): MapMark | null {
  const { frame, x, y } = scalesOf(axes, size);
  const at = { x: x(speedRpm), y: y(flowM3PerH) };
  const isIn =
    at.x >= frame.left - 1 && at.x <= frame.right + 1 && at.y >= frame.top - 1 && at.y <= frame.bottom + 1;
  const side = at.x > (frame.left + frame.right) / 2 ? "left" : "right";
  return isIn ? { ...at, kind, label, side, labelDown: labelDowns[0] } : null;
}

/**
 * The chance in band over wheel speed and gas flow as marks that can be drawn.
 *
 * @param grid   xs speeds in rpm, ys flows in m³/h, values chances
 * @param size   of the picture; its text keeps its size, so that a narrow one stays legible
 */
export function inBandMap(
  grid: HeightGrid,
  points: readonly MapPoint[],
  ratedSpeedRpm: number | null,
  size: MapSize,
): InBandMap {
  const { width } = sizeOf(size);
  const { height, frame, x, y } = scalesOf(grid, size);
  const highest = Math.max(0, ...grid.values.flat());
  const ratedAt = ratedSpeedRpm === null ? null : x(ratedSpeedRpm);
  const marks = withLabelsApart(
    points.flatMap((point) => mapMark(grid, point, size) ?? []),
    frame,
  );
  const ratedName = ratedAt === null ? null : { x: ratedAt - 45, y: frame.bottom - 12 };
  const isFree = (at: GridPlace) =>
    marks.every(
      (mark) =>
        Math.hypot(mark.x - at.x, mark.y - at.y) >= labelRoom &&
        (mark.label === "" || isBeside(labelPlace(mark), at)),
    ) &&
    (ratedName === null || isBeside(ratedName, at));
  const inside = ({ x: left, y: down }: GridPlace): GridPlace => ({
    x: Math.min(Math.max(left, frame.left + 14), frame.right - 14),
    y: Math.min(Math.max(down, frame.top + 8), frame.bottom - 8),
  });
  const contours: NamedContour[] = [];
  for (const level of highest < lowHill ? lowLevels : levels) {
    const isOpen = (at: GridPlace) =>
      isFree(at) && contours.every(({ labelAt }) => labelAt === null || isClear(labelAt, inside(at)));
    const line = contour(grid, level, (a, b) => ({ x: x(a), y: y(b) }), isOpen);
    const labelAt = line.labelAt === null ? null : inside(line.labelAt);
    contours.push({ ...line, labelAt, label: `${Math.round(100 * level)} %` });
  }
  return {
    width,
    height,
    frame,
    contours,
    xTicks: speedTicks(grid.xs, (frame.right - frame.left) / 64).map((v) => ({
      at: x(v),
      label: v.toLocaleString("en-GB"),
    })),
    yTicks: decadeTicks(itemAt(grid.ys, 0), itemAt(grid.ys, -1)).map((v) => ({
      at: y(v),
      label: plainDecimal(v),
    })),
    marks,
    ratedAt: ratedAt !== null && ratedAt >= frame.left && ratedAt <= frame.right + 1 ? ratedAt : null,
  };
}

/** Whole thousands or five hundreds of revolutions, as many as there is room for. */
function speedTicks(speeds: readonly number[], room: number): number[] {
  const from = speeds[0] ?? 1000;
  const to = speeds.at(-1) ?? 10_000;
  const step = [100, 200, 500, 1000, 2000, 5000, 10_000].find((s) => (to - from) / s <= room) ?? 20_000;
  const first = Math.ceil(from / step);
  const last = Math.floor(to / step);
  if (last <= first) return last === first ? [first * step] : [];
  return evenSteps(first * step, last * step, last - first + 1);
}
