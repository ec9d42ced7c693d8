/** A height over a grid: values[row][column] at the places of both axes, rising. */
export interface HeightGrid {
  readonly xs: readonly number[];
  readonly ys: readonly number[];
  readonly values: readonly (readonly number[])[];
}

export interface GridPlace {
  readonly x: number;
  readonly y: number;
}

/** A level's line and the ground at or above it, as SVG path text, and where its label stands; null where no line runs. */
export interface Contour {
  readonly level: number;
  readonly line: string;
  readonly ground: string;
  readonly labelAt: GridPlace | null;
}

/**
 * The contour of a level, straight inside each cell of the grid (marching squares, textbook).
 *
 * @param place   from the grid's coordinates to the picture's
 * @param isFree  whether a label may stand at a place of the picture
 */
export function contour(
  grid: HeightGrid,
  level: number,
  place: (x: number, y: number) => GridPlace,
  isFree: (at: GridPlace) => boolean = () => true,
): Contour {
  const lines: string[] = [];
  const grounds: string[] = [];
  const middles: GridPlace[] = [];
  const { xs, ys, values } = grid;
  for (let row = 0; row + 1 < ys.length; row++) {
    const corner = (column: number, up: 0 | 1) => ({
      ...place(xs[column] ?? 0, ys[row + up] ?? 0),
      height: values[row + up]?.[column] ?? 0,
    });
    // Cells wholly above the level are drawn as one run.
    let runFrom: number | null = null;
    const endRun = (column: number) => {
      if (runFrom === null) return;
      grounds.push(ringText([corner(runFrom, 0), corner(column, 0), corner(column, 1), corner(runFrom, 1)]));
      runFrom = null;
    };
    for (let column = 0; column + 1 < xs.length; column++) {
      const above = [
        values[row]?.[column],
        values[row]?.[column + 1],
        values[row + 1]?.[column + 1],
        values[row + 1]?.[column],
      ].map((v) => (v ?? 0) >= level);
      if (above.every(Boolean)) {
        runFrom ??= column;
        continue;
      }
      endRun(column);
      if (!above.some(Boolean)) continue;
      const { ring, crossings } = cell(
        [corner(column, 0), corner(column + 1, 0), corner(column + 1, 1), corner(column, 1)],
        level,
      );
      grounds.push(ringText(ring));
      for (let i = 0; i + 1 < crossings.length; i += 2) {
        const from = crossings[i];
        const to = crossings[i + 1];
        if (from === undefined || to === undefined) continue;
        lines.push(`M${written(from)}L${written(to)}`);
        middles.push({ x: (from.x + to.x) / 2, y: (from.y + to.y) / 2 });
      }
    }
    endRun(xs.length - 1);
  }
  return { level, line: lines.join(""), ground: grounds.join(""), labelAt: topmost(middles.filter(isFree)) };
}

function ringText(ring: readonly GridPlace[]): string {
  return `M${ring.map(written).join("L")}Z`;
}

/** The part of a cell at or above the level, and where the level crosses its sides. */
function cell(
  corners: readonly (GridPlace & { height: number })[],
  level: number,
): { ring: GridPlace[]; crossings: GridPlace[] } {
  const ring: GridPlace[] = [];
  const crossings: GridPlace[] = [];
  for (const [i, a] of corners.entries()) {
    const b = corners[(i + 1) % corners.length] ?? a;
    if (a.height >= level) ring.push(a);
    if (a.height >= level !== b.height >= level) {
      const part = (level - a.height) / (b.height - a.height);
      const crossing = { x: a.x + part * (b.x - a.x), y: a.y + part * (b.y - a.y) };
      ring.push(crossing);
      crossings.push(crossing);
    }
  }
  return { ring, crossings };
}

/** A label stands at the top of its line, where the lines of a hill lie apart. */
function topmost(places: readonly GridPlace[]): GridPlace | null {
  return places.reduce<GridPlace | null>((best, p) => (best === null || p.y < best.y ? p : best), null);
}

function written({ x, y }: GridPlace): string {
  return `${Number(x.toFixed(1))} ${Number(y.toFixed(1))}`;
}
