export interface LabelPoint {
  readonly x: number;
  readonly y: number;
}

export interface Box {
  readonly left: number;
  readonly top: number;
  readonly width: number;
  readonly height: number;
}

/** A line of a picture in pixels, and the name it carries, if any. */
export interface NamedPath {
  /** From left to right. */
  readonly points: readonly LabelPoint[];
  /** Whether other names must keep off it. */
  readonly isDrawn: boolean;
  /** How long the name is, and at which height it is looked for first; null for a line without a name. */
  readonly name: { readonly width: number; readonly wantedY: number } | null;
}

/** Height of a name, in the reader's pixels. */
export const nameHeightPx = 14;

/** What it costs to move a name over the whole height, in stretches of line that it would lie on. */
const farCost = 12;

/** Lines run together near the foot and the top, where a name would not tell which is which. */
const flatPart = 0.06;

/**
 * Where the names of lines stand: beside their own line near the height asked for, on no line and on no other name
 * where there is room, else where it is least crowded. The last line is the one to be read first, so it chooses first.
 *
 * @param pixel  canvas pixels in one of the reader's
 * @returns      a box for each line, null for a line without a name or without room
 */
export function placeNames(lines: readonly NamedPath[], frame: Box, pixel: number): (Box | null)[] {
  const paths = lines.filter((line) => line.isDrawn).map((line) => line.points);
  const taken: Box[] = [];
  const places = [...lines].reverse().map(({ points, name }) => {
    if (name === null) return null;
    let best: { box: Box; cost: number } | null = null;
    for (const anchor of anchors(points, name.wantedY, frame)) {
      const far = (farCost * Math.abs(anchor.y - name.wantedY)) / frame.height;
      // Anchors come nearest first: from here on none can be better.
      if (best !== null && far >= best.cost) break;
      for (const box of boxesAt(anchor, name.width, pixel)) {
        if (!isWithin(box, frame)) continue;
        const cost = crowdIn(box, paths, taken, pixel) + far;
        if (best === null || cost < best.cost) best = { box, cost };
      }
    }
    if (best !== null) taken.push(best.box);
    return best?.box ?? null;
  });
  return places.reverse();
}

/** Points of a line to try, nearest to the wanted height first: some sixty along its steep part, and that one itself. */
function anchors(line: readonly LabelPoint[], wantedY: number, { top, height }: Box): LabelPoint[] {
  const step = Math.max(Math.round(line.length / 60), 1);
  const at = line.findIndex((p) => p.y <= wantedY);
  const flat = flatPart * height;
  return line
    .filter(({ y }, i) => i === at || (i % step === 0 && y > top + flat && y < top + height - flat))
    .sort((a, b) => Math.abs(a.y - wantedY) - Math.abs(b.y - wantedY));
}

/** Where a name may stand about a point: right or left of it, level or a little lower or higher. */
function boxesAt({ x, y }: LabelPoint, width: number, pixel: number): Box[] {
  const height = nameHeightPx * pixel;
  const gap = 8 * pixel;
  const box = (left: number, middle: number) => ({ left, top: middle - height / 2, width, height });
  return [
    box(x + gap, y),
    box(x - gap - width, y),
    box(x + gap, y + height),
    box(x - gap - width, y - height),
  ];
}

function isWithin(box: Box, { left, top, width, height }: Box): boolean {
  return (
    box.left >= left &&
    box.left + box.width <= left + width &&
    box.top >= top &&
    box.top + box.height <= top + height
  );
}

/** How many stretches of line and how many names a box would lie on; a name weighs more. */
function crowdIn(
  box: Box,
  paths: readonly (readonly LabelPoint[])[],
  taken: readonly Box[],
  pixel: number,
): number {
  const air = 3 * pixel;
  const right = box.left + box.width + air;
  const bottom = box.top + box.height + air;
  let crowd = 0;
  for (const path of paths) {
    for (let i = firstFrom(path, box.left - air); i < path.length; i++) {
      const point = path[i] ?? { x: 0, y: 0 };
      const before = path[i - 1] ?? point;
      if (before.x > right) break;
      if (Math.max(before.y, point.y) >= box.top - air && Math.min(before.y, point.y) <= bottom) crowd += 1;
    }
  }
  const isOver = (other: Box) =>
    other.left < right &&
    other.left + other.width > box.left - air &&
    other.top < bottom &&
    other.top + other.height > box.top - air;
  return crowd + 1000 * taken.filter(isOver).length;
}

/** The first point at or right of a place, found by halving: a line's points rise in x. */
function firstFrom(path: readonly LabelPoint[], x: number): number {
  let [low, high] = [0, path.length];
  while (low < high) {
    const middle = (low + high) >> 1;
    if ((path[middle]?.x ?? x) < x) low = middle + 1;
    else high = middle;
  }
  return low;
}
