import { type Case, comma, d50Um, edgesUm, lines, lowerUm, percent, under, upperUm } from "./case.ts";

const D = d50Um;
const one = { "volume %": D };
const text = lines("from µm\tto µm\tvolume %", [lowerUm, upperUm, percent], "\t", comma).replaceAll(
  "\n",
  "\r\n",
);
const latin = (s: string) => new Uint8Array([...s].map((c) => c.charCodeAt(0)));
const wide = (s: string, big: boolean) =>
  new Uint8Array(
    [...s].flatMap((c) =>
      big ? [c.charCodeAt(0) >> 8, c.charCodeAt(0) & 255] : [c.charCodeAt(0) & 255, c.charCodeAt(0) >> 8],
    ),
  );
const retained = [0, 2, 5, 10, 15, 19, 18, 14, 9, 5, 2, 1];
const apertures = edgesUm.toReversed();
const counts = percent.map((v) => v * 37);

/** What goes wrong with tables of sizes, each with what the reader must say. */
export const traps: readonly Case[] = [
  { name: "UTF-8", shape: "17", table: new TextEncoder().encode(text), reads: one },
  { name: "UTF-8 with a mark", shape: "17", table: new TextEncoder().encode(`\ufeff${text}`), reads: one },
  {
    name: "UTF-16 little-endian with a mark",
    shape: "17",
    table: new Uint8Array([255, 254, ...wide(text, false)]),
    reads: one,
  },
  { name: "UTF-16 little-endian without a mark", shape: "17", table: wide(text, false), reads: one },
  {
    name: "UTF-16 big-endian with a mark",
    shape: "17",
    table: new Uint8Array([254, 255, ...wide(text, true)]),
    reads: one,
  },
  { name: "UTF-16 big-endian without a mark", shape: "17", table: wide(text, true), reads: one },
  { name: "Windows-1252", shape: "17", table: latin(text), reads: one },
  { name: "a micro sign that was saved twice", shape: "17", table: text.replaceAll("µ", "Âµ"), reads: one },
  { name: "old line ends", shape: "17", table: text.replaceAll("\r\n", "\r"), reads: one },
  {
    name: "sieve stack with masses and pan",
    shape: "18",
    table: `charged 100.0 g\n${lines("aperture_um,empty_g,loaded_g", [[...apertures, "pan"], retained.map(() => 250).concat(240), [...retained.map((v) => 250 + v), 240]])}`,
    reads: { "retained g": D },
    notes: [/The masses add to 100 g of 100 g charged: 0 % lost/, /less "empty_g"/],
    quantity: "volume",
  },
  {
    name: "sieve stack that lost powder",
    shape: "18",
    table: `charge: 102.0 g\n${lines(
      "aperture um;retained g",
      [
        [...apertures, "pan"],
        [...retained, 0],
      ],
      ";",
      comma,
    )}`,
    reads: { "retained g": D },
    notes: [/add to 100 g of 102 g charged: 1.961 % lost, more than the 1 %/],
  },
  {
    name: "sieve stack with a lighter loaded sieve",
    shape: "18",
    table: "aperture_um,empty_g,loaded_g\n200,250,251\n100,250,249\n50,250,280\npan,240,300\n",
    refuses: [/Row 3: the loaded sieve is lighter/],
  },
  {
    name: "sieve stack, per cent retained, top sieve not empty",
    shape: "18",
    table: "aperture um,retained mass %\n8,20\n4,20\n2,60\npan,0\n",
    reads: { "retained mass %": 4 * 2 ** (-1 / 6) },
    notes: [/20 % lies on the coarsest sieve/],
  },
  {
    name: "phi",
    shape: "19",
    table: lines("phi,cumulative mass %", [
      [10, 9.5, 9, 8.5, 8],
      [0, 20, 50, 80, 100],
    ]),
    reads: { "cumulative mass %": 1000 / 512 },
    notes: [/Sizes fall while phi rises: read as phi; 10 phi = 0.9766 µm/],
  },
  {
    name: "mesh numbers",
    shape: "19",
    table: "mesh,cumulative mass % passing\n100,100\n200,70\n325,50\n400,20\n",
    reads: { "cumulative mass % passing": 45 },
    notes: [/mesh numbers, which have the apertures of ASTM E11: 100 mesh = 150 µm/],
  },
  {
    name: "a unit behind each size",
    shape: "20",
    table: "size,cumulative volume %\n500 nm,0\n850 nm,20\n2 um,50\n4 um,100\n",
    reads: { "cumulative volume %": 2 },
  },
  {
    name: "one size in another unit",
    shape: "20",
    table: "size um,cumulative volume %\n500 nm,0\n1,20\n2,50\n4,100\n",
    reads: { "cumulative volume %": 2 },
    notes: [/Row 2 is in nm, the others in um/],
  },
  {
    name: "nanometres",
    shape: "20",
    table: lines("from nm,to nm,volume %", [
      lowerUm.map((v) => v * 1000),
      upperUm.map((v) => v * 1000),
      percent,
    ]),
    reads: one,
  },
  {
    name: "millimetres",
    shape: "20",
    table: lines("from mm,to mm,volume %", [
      lowerUm.map((v) => v / 1000),
      upperUm.map((v) => v / 1000),
      percent,
    ]),
    reads: one,
  },
  {
    name: "metres in scientific notation",
    shape: "20",
    table: lines("from (m),to (m),volume %", [
      lowerUm.map((v) => `${v}E-06`),
      upperUm.map((v) => `${v}E-06`),
      percent,
    ]),
    reads: one,
  },
  {
    name: "open ends make upper edges",
    shape: "20",
    table: lines("size um,volume %", [["<0.63", ...upperUm.slice(1, -1), ">5"], percent]),
    reads: one,
    notes: [/share below 0.63 µm/],
  },
  {
    name: "every size behind a smaller sign",
    shape: "20",
    table: lines("size um,volume %", [upperUm.map((v) => `<${v}`), under.slice(1)]),
    reads: one,
    notes: [/Read as undersize: every size stands behind </],
  },
  {
    name: "not detected among the shares",
    shape: "20",
    table: "from_um,to_um,volume %\n1,2,40\n2,4,60\n4,8,n.d.\n",
    reads: { "volume %": 2 * 2 ** (1 / 6) },
    notes: [/"n.d." was taken as nothing found: the other shares are the whole/],
  },
  {
    name: "a dash among the shares",
    shape: "20",
    table: "from_um,to_um,volume %\n1,2,40\n2,4,60\n4,8,-\n",
    reads: { "volume %": 2 * 2 ** (1 / 6) },
    notes: [/"-" was taken as nothing found/],
  },
  {
    name: "merged heading cells over units",
    shape: "20",
    table: `size,,host A,host B\num,um,vol %,vol %\n${lines("", [lowerUm, upperUm, percent, percent])}`,
    reads: { "host A vol %": D, "host B vol %": D },
  },
  {
    name: "no unit",
    shape: "unit",
    table: lines("from,to,volume %", [lowerUm, upperUm, percent]),
    reads: one,
    notes: [/No unit is stated for the sizes: µm is taken/],
  },
  {
    name: "number counts",
    shape: "number",
    table: lines("from_um,to_um,count", [lowerUm, upperUm, counts]),
    reads: { count: D },
    quantity: "number",
    notes: [/divided by their total, 3700/],
  },
  {
    name: "number beside volume",
    shape: "number",
    table: lines("from_um,to_um,number %,volume %", [lowerUm, upperUm, percent, percent]),
    reads: { "number %": D, "volume %": D },
    notes: [/counts number, "volume %" volume: each was kept in its own/],
  },
  {
    name: "counts that no word names",
    shape: "number",
    table: lines("from_um,to_um,value", [lowerUm, upperUm, counts]),
    options: { quantity: "number" },
    asks: ["scale"],
    asksWith: [/they can be counts or masses/],
  },
  {
    name: "the same with the answer",
    shape: "number",
    table: lines("from_um,to_um,value", [lowerUm, upperUm, counts]),
    options: { quantity: "number", scale: "amount" },
    reads: { value: D },
  },
  {
    name: "parts per million",
    shape: "ppm",
    table: lines("from_um,to_um,volume ppm", [lowerUm, upperUm, percent.map((v) => v * 10_000)]),
    reads: { "volume ppm": D },
  },
  {
    name: "a third column headed C",
    shape: "names",
    table: lines("from_um,to_um,A volume %,B volume %,C", [lowerUm, upperUm, percent, percent, percent]),
    reads: { "A volume %": D, "B volume %": D },
    asks: ["quantity"],
    asksWith: [/shares of "C" \(column 5\) count: .* it is left out/],
  },
  {
    name: "a total and remarks below",
    shape: "rows",
    table: `${lines("from_um,to_um,volume %", [lowerUm, upperUm, percent])}Total,,100\nmeasured in water\npage 1 of 1\n`,
    reads: one,
  },
  {
    name: "the heading again at a page break",
    shape: "rows",
    table: `${lines("from_um,to_um,volume %", [lowerUm.slice(0, 5), upperUm.slice(0, 5), percent.slice(0, 5)])}page 1 of 2\n${lines("from_um,to_um,volume %", [lowerUm.slice(5), upperUm.slice(5), percent.slice(5)])}page 2 of 2\n`,
    reads: one,
  },
  {
    name: "a blank line inside",
    shape: "rows",
    table: `${lines("from_um,to_um,volume %", [lowerUm.slice(0, 5), upperUm.slice(0, 5), percent.slice(0, 5)])}\n${lines("", [lowerUm.slice(5), upperUm.slice(5), percent.slice(5)])}`,
    reads: one,
  },
  {
    name: "a running number before the sizes",
    shape: "rows",
    table: lines("no,from_um,to_um,volume %", [percent.map((_, i) => i + 1), lowerUm, upperUm, percent]),
    reads: one,
  },
  {
    name: "a running number without a heading",
    shape: "rows",
    table: lines(",size um,cumulative volume %", [edgesUm.map((_, i) => i), edgesUm, under]),
    reads: { "cumulative volume %": D },
  },
  {
    name: "numbers kept as text with an apostrophe",
    shape: "rows",
    table: lines("from_um,to_um,volume %", [
      lowerUm.map((v) => `'${v}`),
      upperUm.map((v) => `'${v}`),
      percent.map((v) => `'${v}`),
    ]),
    reads: one,
  },
  {
    name: "a formula instead of its value",
    shape: "rows",
    table: "from_um,to_um,volume %\n1,2,40\n2,4,=B2*2\n4,8,60\n",
    refuses: [/Row 3, column 3: "=B2\*2" is a formula/],
  },
  {
    name: "a true minus",
    shape: "rows",
    table: "from_um,to_um,volume %\n1,2,40\n2,4,−3\n4,8,63\n",
    refuses: [/Row 3, column 3: a share cannot be negative/],
  },
  {
    name: "a negative share",
    shape: "rows",
    table: "from_um,to_um,volume %\n1,2,40\n2,4,-3\n4,8,63\n",
    refuses: [/a share cannot be negative. Check whether a baseline/],
  },
  {
    name: "dates in a column",
    shape: "rows",
    table: lines("date,from_um,to_um,volume %", [percent.map(() => "2026-03-04"), lowerUm, upperUm, percent]),
    reads: one,
  },
  {
    name: "mid sizes beside their edges",
    shape: "rows",
    table: lines("lower um,mid um,upper um,volume %", [
      lowerUm,
      lowerUm.map((v, i) => Math.sqrt(v * (upperUm[i] ?? 0)).toFixed(4)),
      upperUm,
      percent,
    ]),
    reads: one,
  },
  {
    name: "classes that hold nothing up to 2 mm",
    shape: "rows",
    table: lines("from_um,to_um,volume %", [
      [...lowerUm, 6.3, 100],
      [...upperUm, 100, 2000],
      [...percent, 0, 0],
    ]),
    reads: one,
  },
  {
    name: "per cent signs behind the shares",
    shape: "rows",
    table: lines("from_um,to_um,volume", [lowerUm, upperUm, percent.map((v) => `${v} %`)]),
    reads: { volume: D },
  },
  {
    name: "shares that add to 99.5 %",
    shape: "sum",
    table: "from_um,to_um,volume %\n1,2,20\n2,4,59.5\n4,8,20\n",
    reads: { "volume %": 2 * Math.SQRT2 },
    notes: [/add to 99.5 % and were divided/],
  },
  {
    name: "shares that add to 93 %",
    shape: "sum",
    table: "from_um,to_um,volume %\n1,2,20\n2,4,53\n4,8,20\n",
    refuses: [/7 % of the whole is missing/],
  },
  {
    name: "a size that stands twice",
    shape: "sum",
    table: "upper_um,volume %\n1,20\n2,30\n2,30\n4,20\n",
    refuses: [/2 µm stands twice \(rows 3 and 4\)/],
  },
  {
    name: "commas as marks and as delimiters",
    shape: "16",
    table: "size,share\n1,0,20,0\n1,5,60,0\n2,0,20,0\n",
    refuses: [/4 cells under 2 headings: the commas stand between the fields and inside/],
  },
  {
    name: "a list of particles is no table of classes",
    shape: "raw",
    table: "lot,length,width\nA,10.1,3.5\nA,9.4,0.6\nA,12.2,4.1\nB,6.1,4.0\n",
    options: { quantity: "number" },
    refuses: [/./],
  },
  {
    name: "the run number and lot weight say no quantity",
    shape: "words",
    table: `run number,lot weight,${lowerUm.map((v, i) => `${v}-${upperUm[i]}`).join(",")}\n1,20,${percent.join(",")}\n`,
    asks: ["quantity"],
  },
];
