import { itemAt, neighbours, zip } from "#distributions/lists.ts";

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
  const placed = zip(grid.ys, grid.values).map(([y, row]) =>
    zip(grid.xs, row).map(([x, height]): Corner => ({ ...place(x, y), height })),
  );
  const pieces = neighbours(placed).flatMap(([lower, upper]) => piecesOf(zip(lower, upper), level));
  const crossed = pieces.flatMap((piece) => piece.crossed);
  return {
    level,
    line: crossed.map(([from, to]) => `M${written(from)}L${written(to)}`).join(""),
    ground: pieces.map(({ ring }) => ringText(ring)).join(""),
    labelAt: topmost(
      crossed.map(([from, to]) => ({ x: (from.x + to.x) / 2, y: (from.y + to.y) / 2 })).filter(isFree),
    ),
  };
}

type Corner = GridPlace & { readonly height: number };

/** Ground at or above a level, and where the level crosses it from side to side. */
interface Piece {
  readonly ring: readonly GridPlace[];
  readonly crossed: readonly (readonly [GridPlace, GridPlace])[];
}

/** The pieces of one row of cells, from the lower and upper corner at each place; cells wholly above the level are one run. */
function piecesOf(sides: readonly (readonly [Corner, Corner])[], level: number): readonly Piece[] {
  const pieces: Piece[] = [];
  let run: readonly GridPlace[] = [];
  for (const [[a, d], [b, c]] of neighbours(sides)) {
    const corners = [a, b, c, d];
    if (corners.every(({ height }) => height >= level)) {
      const [start = a, , , end = d] = run;
      run = [start, b, c, end];
      continue;
    }
    if (run.length > 0) pieces.push({ ring: run, crossed: [] });
    run = [];
    if (corners.some(({ height }) => height >= level)) pieces.push(cell(corners, level));
  }
  return run.length > 0 ? [...pieces, { ring: run, crossed: [] }] : pieces;
}

function ringText(ring: readonly GridPlace[]): string {
  return `M${ring.map(written).join("L")}Z`;
}

/** The part of a cell at or above the level, and where the level crosses its sides. */
function cell(corners: readonly Corner[], level: number): Piece {
  const around = neighbours([...corners, itemAt(corners, 0)]);
  const sides = around.map(([a, b]) => ({
    corner: a.height >= level ? [a] : [],
    crossing: a.height >= level !== b.height >= level ? [crossingOf(a, b, level)] : [],
  }));
  const crossings = sides.flatMap(({ crossing }) => crossing);
  return {
    ring: sides.flatMap(({ corner, crossing }) => [...corner, ...crossing]),
    crossed: neighbours(crossings).filter((_, i) => i % 2 === 0),
  };
}

function crossingOf(a: Corner, b: Corner, level: number): GridPlace {
  const part = (level - a.height) / (b.height - a.height);
  return { x: a.x + part * (b.x - a.x), y: a.y + part * (b.y - a.y) };
}

/** A label stands at the top of its line, where the lines of a hill lie apart. */
function topmost(places: readonly GridPlace[]): GridPlace | null {
  return places.reduce<GridPlace | null>((best, p) => (best === null || p.y < best.y ? p : best), null);
}

function written({ x, y }: GridPlace): string {
  return `${Number(x.toFixed(1))} ${Number(y.toFixed(1))}`;
}
