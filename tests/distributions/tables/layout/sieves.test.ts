import { expect, test } from "vitest";
import { readTable } from "#distributions/tables/readTable.ts";
import { apertureUm } from "#distributions/tables/text/meshNumbers.ts";

const read = (text: string) => readTable(text, "stack.csv", {});

// ASTM E11, table 1, alternative designation and nominal opening (from memory; ISO 565 R 40/3 in between).
const series: readonly (readonly [number, number])[] = [
  [4, 4.75],
  [5, 4],
  [6, 3.35],
  [7, 2.8],
  [8, 2.36],
  [10, 2],
  [12, 1.7],
  [14, 1.4],
  [16, 1.18],
  [18, 1],
  [20, 0.85],
  [25, 0.71],
  [30, 0.6],
  [35, 0.5],
  [40, 0.425],
  [45, 0.355],
  [50, 0.3],
  [60, 0.25],
  [70, 0.212],
  [80, 0.18],
  [100, 0.15],
  [120, 0.125],
  [140, 0.106],
  [170, 0.09],
  [200, 0.075],
  [230, 0.063],
  [270, 0.053],
  [325, 0.045],
  [400, 0.038],
  [450, 0.032],
  [500, 0.025],
  [635, 0.02],
];

test.each(series)("mesh %i has openings of %f mm, and its neighbours are no mesh numbers", (mesh, mm) => {
  expect(apertureUm(mesh)).toBeCloseTo(mm * 1000, 9);
  for (const other of [mesh - 1, mesh + 1])
    if (!series.some(([number]) => number === other)) expect(apertureUm(other)).toBeNull();
});

test("masses: what each sieve retained, what was charged and how much of it is lost", () => {
  // 5 + 20 + 60 + 10 = 95 g of 100 g; of 95 g the pan holds 10/95.
  const { measurements, problems } = read(
    "charged 100 g\naperture um,empty g,loaded g,notes\n400,300,305,a\n200,300,320,b\n100,300,360,c\npan,250,260,d\n",
  );
  const m = measurements[0]?.distribution;
  expect(m?.lowerUm).toEqual([100, 200]);
  expect(m?.upperUm).toEqual([200, 400]);
  expect(m?.belowShare).toBeCloseTo(10 / 95, 14);
  expect(m?.aboveShare).toBeCloseTo(5 / 95, 14);
  expect(m?.shares).toEqual([expect.closeTo(60 / 95, 14), expect.closeTo(20 / 95, 14)]);
  const loss = problems.find((p) => /charged/.test(p.message));
  expect(loss).toMatchObject({
    message:
      "The masses add to 95 g of 100 g charged: 5 % lost, more than the 1 % a sieving may lose. Sieve again, or look for a mass that was misread.",
    found: "95 g",
    expected: "100 g within 1 %",
    effect: "if all that is lost were the finest, every undersize would be up to 5 points higher",
  });
  const made = problems.find((p) => /What each sieve retained/.test(p.message));
  expect(made?.message).toBe('What each sieve retained is "loaded g" less "empty g".');
});

test.each([
  ["99", "The masses add to 100 g of 99 g charged: 1.01 % too much, more than", null],
  ["100", "The masses add to 100 g of 100 g charged: 0 % lost.", null],
  ["101", "The masses add to 100 g of 101 g charged: 0.9901 % lost.", "up to 0.9901 points higher"],
  ["1000.", "The masses add to 100 g of 1000 g charged: 90 % lost, more than", "up to 90 points higher"],
])("charged %s g", (charged, words, effect) => {
  const { problems } = read(
    `sample mass ${charged} g\naperture um,retained g\n400,0\n200,40\n100,50\npan,10\n`,
  );
  const loss = problems.find((p) => /charged/.test(p.message));
  expect(loss?.message).toContain(words);
  if (effect === null) expect(loss?.effect).toBeNull();
  else expect(loss?.effect).toContain(effect);
});

test("nothing said of what was charged, or nothing charged: no word of a loss", () => {
  const table = "aperture um,retained g\n400,0\n200,40\n100,50\npan,10\n";
  for (const above of ["", "charged 0 g\n"])
    expect(read(`${above}${table}`).problems.filter((p) => /charged/.test(p.message))).toEqual([]);
});

test("beside what each sieve retained, sums are left out where a pan closes the stack", () => {
  const { measurements } = read(
    "aperture um,retained g,cumulative passing %\n400,0,100\n200,40,60\n100,60,0\npan,0,0\n",
  );
  expect(measurements.map((m) => m.name)).toEqual(["retained g"]);
});

test("a pan below makes a stack of sieves, whatever the masses or percentages are called", () => {
  const d = (head: string, values: readonly number[]) =>
    read(
      `aperture um,${head}\n${["400", "200", "100", "pan"].map((s, i) => `${s},${values[i]}`).join("\n")}\n`,
    ).measurements[0]?.distribution;
  for (const [head, values] of [
    ["mass g", [0, 40, 50, 10]],
    ["passing mass %", [100, 60, 10, 0]],
  ] as const) {
    expect(d(head, values)?.lowerUm, head).toEqual([100, 200]);
    expect(d(head, values)?.shares, head).toEqual([expect.closeTo(0.5, 14), expect.closeTo(0.4, 14)]);
  }
});

test("a sieve that was not weighed is named with what stands in its cell", () => {
  const { problems } = read(
    "aperture um,empty g,loaded g\n400,300,305\n200,300,n.d.\n100,300,360\npan,250,260\n",
  );
  expect(problems.find((p) => p.severity === "refused")).toMatchObject({ row: 3, column: 3, found: "n.d." });
});

test("a top sieve that holds nothing needs no word, one that does is named with its aperture", () => {
  const top = (first: number) =>
    read(`aperture um,retained g\n400,${first}\n200,40\n100,${50 - first}\npan,10\n`).problems.filter((p) =>
      /coarsest sieve/.test(p.message),
    );
  expect(top(0)).toEqual([]);
  expect(top(10)[0]?.message).toBe(
    "10 % lies on the coarsest sieve, 400 µm: kept as the share above, whose sizes are not known.",
  );
});

test("a loaded sieve lighter than the empty one: its row, and both masses", () => {
  const { problems } = read(
    "aperture_um;empty_g;loaded_g\n200;250,5;251,5\n100;250,5;249,25\npan;240,0;300,0\n",
  );
  expect(problems.find((p) => p.severity === "refused")).toMatchObject({
    row: 3,
    column: 3,
    found: "249,25 g loaded, 250,5 g empty",
  });
});

test("differences keep the figures of the balance", () => {
  // 250.3 − 250.1 in doubles is 0.20000000000001705.
  const shares = read(
    "aperture um,empty g,loaded g\n400,250.1,250.1\n200,250.1,250.3\n100,250.1,250.9\npan,250,250\n",
  ).measurements[0]?.distribution.shares;
  expect(shares).toEqual([0.8, 0.2]);
});
