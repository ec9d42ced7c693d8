import { expect, test } from "vitest";
import { type NamedPath, placeNames } from "#ui/charts/placeNames.ts";

const frame = { left: 0, top: 0, width: 800, height: 300 };

/** A line that climbs from the foot at one x to the top at another, level before and after. */
function climbing(from: number, to: number, wantedY: number): NamedPath {
  const points = Array.from({ length: 201 }, (_, i) => {
    const x = 4 * i;
    return { x, y: 300 - 300 * Math.min(Math.max((x - from) / (to - from), 0), 1) };
  });
  return { points, isDrawn: true, name: { width: 60, wantedY } };
}

test("names of neighbouring lines stand on no line and on no other name, near their own height", () => {
  const lines = [
    climbing(400, 760, 36),
    climbing(250, 560, 216),
    climbing(120, 240, 264),
    climbing(140, 260, 114),
  ];
  const places = placeNames(lines, frame, 1);
  for (const [i, place] of places.entries()) {
    if (place === null) throw new Error(`name ${i} has no place`);
    const isInside = ({ x, y }: { x: number; y: number }) =>
      x >= place.left && x <= place.left + place.width && y >= place.top && y <= place.top + place.height;
    expect(lines.flatMap((line) => line.points.filter(isInside))).toEqual([]);
    expect(Math.abs(place.top + place.height / 2 - (lines[i]?.name?.wantedY ?? 0))).toBeLessThan(100);
    for (const other of places.slice(0, i))
      expect(
        other === null ||
          other.left > place.left + place.width ||
          other.left + other.width < place.left ||
          other.top > place.top + place.height ||
          other.top + other.height < place.top,
      ).toBe(true);
  }
});

test("a line without a name takes no place, but is kept off", () => {
  const unnamed: NamedPath = { ...climbing(150, 270, 150), name: null };
  const [none, place] = placeNames([unnamed, climbing(140, 260, 150)], frame, 1);
  expect(none).toBeNull();
  expect(place).not.toBeNull();
});
