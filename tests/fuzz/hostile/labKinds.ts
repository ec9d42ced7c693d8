import { type KindOf, type Pen, percents, phiOf, size, tableOf, under } from "./kind.ts";
import { edgesOf, type KnownPowder, percentileOf, powderIn, undersizeOf } from "./powder.ts";

// What laboratory systems, instruments and sieve rooms send: reports, lots in rows, limits in rows, several quantities,
// several columns of sizes, percentiles, particle counters.

const all = ["unit", "edge", "quantity", "scale", "values"];
const runsOf = (pen: Pen, edges: readonly number[], most = 3) =>
  ["A", "B", "C", "D", "E"]
    .slice(0, pen.draw.whole(1, most))
    .map((letter) => powderIn(pen.draw, edges, `lot ${letter}`, pen.decimals));
const um = (edges: readonly number[], { n }: Pen, times = 1) => edges.map((x) => n(size(x * times)));
const sumsOver = (known: KnownPowder, pen: Pen) =>
  under(known, pen).map((q) => Number((100 - q).toFixed(pen.decimals)));

/** Lots in rows behind columns of what was done to them; the sizes stand in the heading row. */
const lotsInRows: KindOf = (pen) => {
  const { draw, n } = pen;
  const edges = edgesOf(draw, false);
  const truth = runsOf(pen, edges, 5);
  const isCumulative = draw.chance(0.6);
  const unit = draw.pick(["um", "µm", "nm"] as const);
  const hasFigures = draw.chance(0.5);
  const hasDate = draw.chance(0.6);
  const kind = isCumulative ? draw.pick(["undersize %", "% finer"]) : "% in class";
  const heads = um(edges.slice(1), pen, unit === "nm" ? 1000 : 1);
  const style = draw.pick(["bare", "unit", "less"] as const);
  const written = (x: string) =>
    style === "unit" ? `${x} ${unit}` : style === "less" && isCumulative ? `< ${x} ${unit}` : x;
  return {
    what: `lots in rows, ${isCumulative ? "under" : "class"}, heads ${style}${hasFigures ? ", figures before" : ""}${hasDate ? ", dated" : ""}`,
    rows: [
      [`volume ${kind}, sizes are upper edges in ${unit}`],
      [
        draw.pick(["lot", "batch", "sample"]),
        ...(hasDate ? ["made on"] : []),
        ...(hasFigures ? ["D10 (µm)", "D50 (µm)", "D90 (µm)"] : []),
        ...heads.map(written),
      ],
      ...truth.map((known, i) => [
        known.name,
        ...(hasDate ? [`2026-03-${10 + i}`] : []),
        ...(hasFigures ? [0.1, 0.5, 0.9].map((q) => n(size(percentileOf(known, q), 4))) : []),
        ...(isCumulative ? under(known, pen) : percents(known, pen)).map(n),
      ]),
    ],
    truth,
    quantity: "volume",
    answers: {
      edge: "upper",
      unit: unit === "nm" ? "nm" : "um",
      layout: "rows",
      values: isCumulative ? "undersize" : "class",
    },
    states: ["unit", "quantity", "scale", "values"],
    isNamed: true,
    hasNotes: true,
  };
};

/** A parameter a row, as a laboratory system lists its results. */
const parametersInRows: KindOf = (pen) => {
  const { draw, n } = pen;
  const known = powderIn(draw, edgesOf(draw, false), "YG-07", pen.decimals);
  const isOver = draw.chance(0.4);
  const sign = isOver ? draw.pick([">", "larger than", "+"]) : draw.pick(["<", "smaller than", "-"]);
  const list = isOver ? sumsOver(known, pen) : under(known, pen);
  const rows = known.edgesUm.slice(1).map((x, i) => [`${sign} ${n(size(x))} µm`, n(list[i] ?? 0), "vol %"]);
  return {
    what: `parameters in rows, ${sign}`,
    rows: [["parameter", "result", "unit"], ...rows],
    truth: [known],
    quantity: "volume",
    answers: { edge: "upper", values: isOver ? "oversize" : "undersize" },
    states: [],
    refusable: true,
  };
};

/** Number, surface and volume beside each other, each in classes and cumulative. */
const threeQuantities: KindOf = (pen) => {
  const { draw, n } = pen;
  const edges = edgesOf(draw, false);
  const order = draw.pick([
    ["number", "surface", "volume"],
    ["volume", "surface", "number"],
    ["number", "volume"],
  ] as const);
  const words = draw.pick([
    { number: "number", surface: "surface", volume: "volume" },
    { number: "Anzahl", surface: "Oberfläche", volume: "Volumen" },
    { number: "nombre", surface: "surface", volume: "volume" },
    { number: "個数", surface: "面積", volume: "体積" },
  ] as const);
  const truth = order.map((quantity) => ({ ...powderIn(draw, edges, "", pen.decimals), quantity }));
  const isGrouped = draw.chance(0.4);
  const one = truth.map((known) => [`${words[known.quantity]} %`, ...percents(known, pen).map(n)]);
  const two = truth.map((known) => [`cum. ${words[known.quantity]} %`, ...under(known, pen).map(n)]);
  const columns = isGrouped ? [...one, ...two] : one.flatMap((list, i) => [list, two[i] ?? []]);
  return {
    what: `${order.join(" ")}, class+under, ${isGrouped ? "grouped" : "each"}`,
    rows: tableOf([
      ["lower edge µm", ...um(edges.slice(0, -1), pen)],
      ["upper edge µm", ...um(edges.slice(1), pen)],
      ...columns,
    ]),
    truth,
    quantity: "volume",
    answers: { edge: "both", values: "class" },
    states: all,
  };
};

/** q and Q with the figure that says what they count. Source: ISO 9276-1, clause 4. */
const letteredQuantities: KindOf = (pen) => {
  const { draw, n } = pen;
  const edges = edgesOf(draw, false);
  const kinds = draw.pick([["0"], ["3"], ["2"], ["0", "3"], ["3", "0"]] as const);
  const counted = { "0": "number", "1": "length", "2": "surface", "3": "volume" } as const;
  const truth = kinds.map((r) => ({ ...powderIn(draw, edges, "", pen.decimals), quantity: counted[r] }));
  const style = draw.pick(["Q{r} / %", "Q{r}(x) %", "Q{r} [%]", "Q{r}(x) in %"]);
  const hasClass = draw.chance(0.4);
  return {
    what: `Q${kinds.join(" Q")}${hasClass ? ", with shares" : ""} "${style}"`,
    rows: tableOf([
      [draw.pick(["x / µm", "x (µm)", "x in µm", "xo / µm"]), ...um(edges.slice(1), pen)],
      ...truth.flatMap((known, i) => [
        [style.replace("{r}", kinds[i] ?? ""), ...under(known, pen).map(n)],
        ...(hasClass ? [[`ΔQ${kinds[i]} / %`, ...percents(known, pen).map(n)]] : []),
      ]),
    ]),
    truth,
    quantity: "volume",
    answers: { edge: "upper", values: "undersize", quantity: counted[kinds[0]] },
    states: ["unit", "scale", "quantity", "values", ...(hasClass ? [] : ["edge"])],
  };
};

/** The same size in several columns: mesh or number, mm, µm, phi. */
const manySizes: KindOf = (pen) => {
  const { draw, n } = pen;
  const known = powderIn(draw, edgesOf(draw, false), "", pen.decimals);
  const upper = known.edgesUm.slice(1);
  const columns = [
    ["size (mm)", ...upper.map((x) => n(size(x / 1000)))],
    ["size (µm)", ...upper.map((x) => n(size(x)))],
    ["phi", ...upper.map((x) => n(phiOf(x)))],
    ["size (nm)", ...upper.map((x) => n(size(x * 1000)))],
  ];
  const used = draw.pick([
    [0, 1],
    [1, 0],
    [0, 1, 2],
    [2, 0],
    [1, 2],
    [3, 1],
    [1, 3, 0],
  ]);
  const isCumulative = draw.chance(0.6);
  return {
    what: `sizes in ${used.map((i) => columns[i]?.[0]).join(", ")}, ${isCumulative ? "under" : "class"}`,
    rows: tableOf([
      ...(draw.chance(0.3) ? [["no.", ...upper.map((_, i) => String(i + 1))]] : []),
      ...used.map((i) => columns[i] ?? []),
      [
        isCumulative ? "volume % finer" : "volume % in class",
        ...(isCumulative ? under(known, pen) : percents(known, pen)).map(n),
      ],
    ]),
    truth: [known],
    quantity: "volume",
    answers: { edge: "upper", values: isCumulative ? "undersize" : "class" },
    states: ["unit", "quantity", "scale", "values", ...(isCumulative ? ["edge"] : [])],
  };
};

/** Cumulative over phi without a word for the direction, as earth scientists plot it: what is coarser. */
const coarserOverPhi: KindOf = (pen) => {
  const { draw, n } = pen;
  const known = powderIn(draw, edgesOf(draw, false), "", pen.decimals);
  const list = sumsOver(known, pen);
  const rows = tableOf([
    [draw.pick(["phi", "φ"]), ...known.edgesUm.slice(1).map((x) => n(phiOf(x)))],
    [draw.pick(["cumulative weight %", "cum. wt %", "cumulative %"]), ...list.map(n)],
  ]);
  const [head = [], ...body] = rows;
  return {
    what: "coarser over phi",
    rows: [head, ...body.toReversed()],
    truth: [known],
    quantity: "volume",
    answers: { unit: "phi", edge: "upper", values: "oversize" },
    states: ["unit", "scale"],
  };
};

/** Nineteen percentiles or more: a curve, its sizes behind its shares. */
const manyPercentiles: KindOf = (pen) => {
  const { draw, n } = pen;
  const known = powderIn(draw, edgesOf(draw, false), "", pen.decimals);
  const parts = Array.from({ length: 19 }, (_, i) => 5 * (i + 1));
  const style = draw.pick(["D{p}", "x{p}", "D({p})", "d{p} (µm)", "x {p}"]);
  const isAcross = draw.chance(0.4);
  const heads = parts.map((p) => style.replace("{p}", String(p)));
  const cells = parts.map((p) => n(size(percentileOf(known, p / 100), 5)));
  return {
    what: `percentiles "${style}"${isAcross ? " across" : ""}`,
    rows: isAcross
      ? [
          ["sample", ...heads],
          ["volume, µm", ...cells],
        ]
      : tableOf([
          ["percentile by volume", ...heads],
          ["size (µm)", ...cells],
        ]),
    truth: [known],
    quantity: "volume",
    answers: { edge: "upper", values: "undersize" },
    states: [],
    refusable: true,
    hasNotes: true,
  };
};

/** Counts of all that is at least so large, as counters of airborne or liquid-borne particles say. */
const countsAtLeast: KindOf = (pen) => {
  const { draw, n } = pen;
  const known = powderIn(draw, edgesOf(draw, false), "", pen.decimals);
  const times = draw.pick([10_000, 1_000_000]);
  const counts = undersizeOf(known)
    .slice(0, -1)
    .map((q) => Math.round(times * (1 - q)));
  const sign = draw.pick(["≥", ">", ">=", "≥ "]);
  const isInCells = draw.chance(0.6);
  return {
    what: `counts at least, ${isInCells ? sign : "heading"}`,
    rows: tableOf([
      [
        isInCells ? "size" : draw.pick(["size larger than (µm)", "≥ size (µm)"]),
        ...known.edgesUm.slice(0, -1).map((x) => (isInCells ? `${sign}${n(size(x))} µm` : n(size(x)))),
      ],
      [draw.pick(["cumulative counts", "particles per ml", "N", "counts"]), ...counts.map(String)],
    ]),
    truth: [known],
    quantity: "number",
    answers: { edge: "lower", values: "oversize", scale: "amount" },
    states: [],
    refusable: true,
  };
};

/** Intensities of scattered light are no shares of anything that a curve counts. */
const intensities: KindOf = (pen) => {
  const { draw, n } = pen;
  const known = powderIn(draw, edgesOf(draw, false), "", pen.decimals);
  return {
    what: "intensities",
    rows: tableOf([
      ["size (nm)", ...um(known.edgesUm.slice(1), pen, 1000)],
      [
        draw.pick(["intensity (%)", "Intensity / %", "Intensität %", "scattered light %"]),
        ...percents(known, pen).map(n),
      ],
    ]),
    truth: [],
    quantity: "volume",
    answers: { quantity: "?" },
    states: [],
    refusable: true,
    mustAsk: "what they count",
  };
};

/** Shares of the highest, as "100 = peak". */
const ofThePeak: KindOf = (pen) => {
  const { draw, n } = pen;
  const known = powderIn(draw, edgesOf(draw, false), "", pen.decimals);
  const peak = Math.max(...known.shares);
  return {
    what: "of the peak",
    rows: tableOf([
      ["lower edge µm", ...um(known.edgesUm.slice(0, -1), pen)],
      ["upper edge µm", ...um(known.edgesUm.slice(1), pen)],
      [
        draw.pick(["relative volume (peak = 100)", "volume, normalised", "volume % of peak", "rel. volume"]),
        ...known.shares.map((v) => n(Number(((100 * v) / peak).toFixed(4)))),
      ],
    ]),
    truth: [known],
    quantity: "volume",
    answers: { edge: "both", values: "class", scale: "amount" },
    states: ["unit", "edge"],
    refusable: true,
  };
};

/** Counts with their running sum, and that in per cent. */
const runningCounts: KindOf = (pen) => {
  const { draw, n } = pen;
  const known = powderIn(draw, edgesOf(draw, false), "", pen.decimals);
  const counts = known.shares.map((v) => Math.round(100_000 * v));
  let sum = 0;
  const sums = counts.map((count) => {
    sum += count;
    return sum;
  });
  const isBoth = draw.chance(0.5);
  return {
    what: `running counts, ${isBoth ? "both" : "upper"}`,
    rows: tableOf([
      ...(isBoth ? [["from µm", ...um(known.edgesUm.slice(0, -1), pen)]] : []),
      [isBoth ? "to µm" : "diameter µm", ...um(known.edgesUm.slice(1), pen)],
      [draw.pick(["n", "count", "frequency", "particles"]), ...counts.map(String)],
      [draw.pick(["N", "sum", "running", "Σ n"]), ...sums.map(String)],
      ...(draw.chance(0.5) ? [["cum. %", ...sums.map((v) => n(Number(((100 * v) / sum).toFixed(3))))]] : []),
    ]),
    truth: [known],
    quantity: "number",
    answers: { edge: isBoth ? "both" : "upper", values: "class", scale: "amount" },
    states: ["unit", "edge"],
  };
};

export const labKinds: readonly KindOf[] = [
  lotsInRows,
  lotsInRows,
  parametersInRows,
  threeQuantities,
  letteredQuantities,
  manySizes,
  coarserOverPhi,
  manyPercentiles,
  countsAtLeast,
  intensities,
  ofThePeak,
  runningCounts,
];
