import type { Quantity } from "#distributions/sizeDistribution.ts";
import { drawFrom } from "../../distributions/tables/draw.ts";
import { type Hostile, hostileOf } from "./hostile.ts";
import { type KindOf, percents, phiOf, size, tableOf, tableOfKind, under } from "./kind.ts";
import { edgesOf, powderIn } from "./powder.ts";

// Tables of a kind each: what a trade, an instrument or a spreadsheet writes that the composed ones do not.

const names = [
  "YG-07",
  "solids 98 %",
  "bag 4",
  "density 4.55 g/cm3",
  "host A",
  "K-12",
  "40 % solids in water",
];
const quantityWords: Readonly<Record<Quantity, readonly string[]>> = {
  volume: ["volume", "vol.", "mass", "wt."],
  number: ["number"],
  surface: ["surface"],
  length: ["length"],
};

/** Sizes in phi, which fall where sizes rise. */
const phi: KindOf = (pen) => {
  const { draw, n } = pen;
  const known = powderIn(draw, edgesOf(draw, false), draw.pick(names), pen.decimals);
  const word = draw.pick(["phi", "φ", "size (phi)", "Phi units", "Korngröße φ", "diameter / phi", "ϕ"]);
  const isCumulative = draw.chance(0.5);
  const isBoth = !isCumulative && draw.chance(0.5);
  const values = isCumulative ? under(known, pen) : percents(known, pen);
  const columns = [
    ...(isBoth ? [[`lower ${word}`, ...known.edgesUm.slice(1).map((um) => n(phiOf(um)))]] : []),
    [
      isBoth ? `upper ${word}` : word,
      ...(isBoth ? known.edgesUm.slice(0, -1) : known.edgesUm.slice(1)).map((um) => n(phiOf(um))),
    ],
    [
      isCumulative
        ? draw.pick(["volume % finer", "cumulative undersize volume %"])
        : draw.pick(["volume %", "vol. % in class"]),
      ...values.map(n),
    ],
  ];
  const [head = [], ...rows] = tableOf(columns);
  return {
    what: `phi, ${isCumulative ? "under" : isBoth ? "both" : "upper"}`,
    rows: [head, ...(draw.chance(0.5) ? rows.toReversed() : rows)],
    truth: [known],
    quantity: "volume",
    answers: { unit: "phi", edge: isBoth ? "both" : "upper", values: isCumulative ? "undersize" : "class" },
    states: ["unit", "quantity", "scale", "values", ...(isCumulative || isBoth ? ["edge"] : [])],
  };
};

/** Mesh numbers and apertures in µm. Source: ASTM E11. */
const mesh: readonly (readonly [number, number])[] = [
  [400, 38],
  [325, 45],
  [270, 53],
  [230, 63],
  [200, 75],
  [170, 90],
  [140, 106],
  [120, 125],
  [100, 150],
  [80, 180],
  [70, 212],
  [60, 250],
  [50, 300],
  [45, 355],
  [40, 425],
  [35, 500],
  [30, 600],
];

const meshes: KindOf = (pen) => {
  const { draw, n } = pen;
  const from = draw.whole(0, 4);
  const used = mesh.slice(from, from + draw.whole(9, 12));
  const known = powderIn(
    draw,
    used.map(([, um]) => um),
    draw.pick(names),
    pen.decimals,
  );
  const word = draw.pick(["mesh", "Mesh", "sieve (mesh)", "US mesh", "mesh no.", "Maschen (mesh)"]);
  const list = [0, ...under(known, pen)];
  const [head = [], ...rows] = tableOf([
    [word, ...used.map(([number]) => (draw.chance(0.02) ? `#${number}` : String(number)))],
    [draw.pick(["mass % passing", "cumulative passing wt. %", "% finer by mass"]), ...list.map(n)],
  ]);
  return {
    what: "mesh, under",
    rows: [head, ...(draw.chance(0.5) ? rows.toReversed() : rows)],
    truth: [known],
    quantity: "volume",
    answers: { unit: "mesh", edge: "upper", values: "undersize" },
    states: ["unit", "quantity", "scale", "values", "edge"],
  };
};

/** Counts in the thousands and millions, grouped by three figures. */
const groupedCounts: KindOf = (pen) => {
  const { draw, n, mark } = pen;
  const known = powderIn(draw, edgesOf(draw, false), draw.pick(names), pen.decimals);
  const sign = draw.pick(
    mark === "." ? [",", " ", "'", "\u00a0", "\u202f", "’"] : [".", " ", "'", "\u00a0", "\u202f"],
  );
  const times = draw.pick([100_000, 1_000_000, 10_000_000]);
  const grouped = (count: number) => String(count).replace(/\B(?=(\d{3})+$)/g, sign);
  const counts = known.shares.map((v) => Math.round(times * v));
  const isBoth = draw.chance(0.6);
  const [lower, upper] = draw.pick([
    ["lower edge", "upper edge"],
    ["from", "to"],
    ["untere Grenze", "obere Grenze"],
  ] as const);
  return {
    what: `counts grouped by "${sign}"`,
    rows: tableOf([
      ...(isBoth ? [[`${lower} µm`, ...known.edgesUm.slice(0, -1).map((um) => n(size(um)))]] : []),
      [isBoth ? `${upper} µm` : "size µm", ...known.edgesUm.slice(1).map((um) => n(size(um)))],
      [draw.pick(["counts", "number of particles", "Anzahl", "particles counted"]), ...counts.map(grouped)],
    ]),
    truth: [known],
    quantity: "number",
    answers: { edge: isBoth ? "both" : "upper", values: "class", scale: "amount" },
    states: ["unit", "values", ...(isBoth ? ["edge"] : [])],
  };
};

/** One sample by two quantities, beside each other. */
const twoQuantities: KindOf = (pen) => {
  const { draw, n } = pen;
  const edges = edgesOf(draw, false);
  const name = draw.pick(names);
  const pair = draw.pick([
    ["volume", "number"],
    ["number", "volume"],
    ["volume", "surface"],
  ] as const);
  const truth = pair.map((quantity) => ({ ...powderIn(draw, edges, name, pen.decimals), quantity }));
  const isCumulative = draw.chance(0.3);
  const isNamed = draw.chance(0.5);
  return {
    what: `two quantities, ${isCumulative ? "under" : "class"}`,
    rows: tableOf([
      ["lower µm", ...edges.slice(0, -1).map((um) => n(size(um)))],
      ["upper µm", ...edges.slice(1).map((um) => n(size(um)))],
      ...truth.map((known) => [
        `${isNamed ? `${name} ` : ""}${quantityWords[known.quantity][0]} %${isCumulative ? " undersize" : ""}`,
        ...(isCumulative ? under(known, pen) : percents(known, pen)).map(n),
      ]),
    ]),
    truth,
    quantity: "volume",
    answers: { edge: "both", values: isCumulative ? "undersize" : "class" },
    states: ["unit", "edge", "quantity", "scale", "values"],
  };
};

/** Mids that are the arithmetic mean of their edges, of classes as wide as each other. */
const arithmeticMids: KindOf = (pen) => {
  const { draw, n } = pen;
  const width = draw.pick([0.2, 0.25, 0.5, 1, 5]);
  const first = width * draw.whole(1, 3);
  const edges = Array.from({ length: draw.whole(12, 40) }, (_, i) => size(first + i * width));
  const known = powderIn(draw, edges, draw.pick(names), pen.decimals);
  const isSaid = draw.chance(0.6);
  const word = isSaid
    ? draw.pick(["arithmetic mid", "arithmetic mean of the edges", "mid (arithmetic)"])
    : draw.pick(["mid", "class centre", "Klassenmitte"]);
  return {
    what: `arithmetic mids${isSaid ? "" : ", unsaid"}`,
    rows: tableOf([
      [`${word} µm`, ...edges.slice(1).map((um, i) => n(size((um + (edges[i] ?? um)) / 2)))],
      [draw.pick(["volume %", "share by volume %"]), ...percents(known, pen).map(n)],
    ]),
    truth: [known],
    quantity: "volume",
    answers: { edge: "arithmetic-mid", values: "class" },
    states: ["unit", "quantity", "scale", "values", ...(isSaid ? ["edge"] : [])],
  };
};

/** Shares per thousand. */
const perMille: KindOf = (pen) => {
  const { draw, n } = pen;
  const known = powderIn(draw, edgesOf(draw, false), draw.pick(names), pen.decimals);
  const isCumulative = draw.chance(0.4);
  const word = draw.pick(["‰", "per mille", "Promille", "o/oo", "(‰)", "per thousand"]);
  return {
    what: `${word}, ${isCumulative ? "under" : "class"}`,
    rows: tableOf([
      ["lower edge µm", ...known.edgesUm.slice(0, -1).map((um) => n(size(um)))],
      ["upper edge µm", ...known.edgesUm.slice(1).map((um) => n(size(um)))],
      [
        `volume ${isCumulative ? "undersize " : ""}${word}`,
        ...(isCumulative ? under(known, pen, 1000) : percents(known, pen, 1000)).map(n),
      ],
    ]),
    truth: [known],
    quantity: "volume",
    answers: { edge: "both", values: isCumulative ? "undersize" : "class", scale: "per-mille" },
    states: ["unit", "edge", "quantity", "scale", "values"],
  };
};

/** Languages that no list of words holds; common use, checked by no native speaker. */
const tongues = [
  ["hiukkaskoko", "tilavuus-%", "kumulatiivinen"],
  ["tane boyutu", "hacim %", "kümülatif"],
  ["wielkość ziarna", "udział %", "suma"],
  ["μέγεθος κόκκων", "ποσοστό", "αθροιστικό"],
  ["velikost", "podíl", "součet"],
  ["kích thước", "phần trăm", "tích lũy"],
  ["ขนาดอนุภาค", "ร้อยละ", "สะสม"],
  ["الحجم", "نسبة", "تراكمي"],
  ["גודל", "אחוז", "מצטבר"],
  ["आकार", "प्रतिशत", "संचयी"],
  ["kornstorlek", "andel", "kumulativt"],
  ["zrnitost", "četnost", "propad"],
] as const;

/** Headings in a language that is not known: the numbers alone say what is what. */
const unknownTongue: KindOf = (pen) => {
  const { draw, n } = pen;
  const [sizes, share, sum] = draw.pick(tongues);
  const known = powderIn(draw, edgesOf(draw, false), draw.pick(names), pen.decimals);
  const form = draw.pick(["both", "upper", "range"] as const);
  const kinds = draw.pick([["class"], ["under"], ["class", "under"], ["under", "class"]] as const);
  const unit = draw.pick(["µm", "[µm]", "(um)"]);
  const [lower, upper] = [known.edgesUm.slice(0, -1), known.edgesUm.slice(1)].map((l) =>
    l.map((um) => n(size(um))),
  );
  const left =
    form === "both"
      ? [
          [`${sizes} 1 ${unit}`, ...(lower ?? [])],
          [`${sizes} 2 ${unit}`, ...(upper ?? [])],
        ]
      : form === "upper"
        ? [[`${sizes} ${unit}`, ...(upper ?? [])]]
        : [[`${sizes} ${unit}`, ...(lower ?? []).map((from, i) => `${from} – ${upper?.[i] ?? ""}`)]];
  const isBeside = kinds.length === 2;
  return {
    what: `unknown tongue (${sizes}), ${form}, ${kinds.join("+")}`,
    rows: tableOf([
      ...left,
      ...kinds.map((kind) =>
        kind === "class" ? [share, ...percents(known, pen).map(n)] : [sum, ...under(known, pen).map(n)],
      ),
    ]),
    truth: [known],
    quantity: draw.pick(["volume", "number"] as const),
    answers: {
      edge: form === "upper" ? "upper" : "both",
      values: kinds[0] === "class" ? "class" : "undersize",
    },
    states: ["unit", "scale", ...(form !== "upper" || isBeside ? ["edge"] : [])],
  };
};

/** Runs, each with a column of its uncertainty beside it. */
const uncertain: KindOf = (pen) => {
  const { draw, n } = pen;
  const edges = edgesOf(draw, false);
  const truth = ["A", "B", "C"]
    .slice(0, draw.whole(1, 3))
    .map((letter) => powderIn(draw, edges, `run ${letter}`, pen.decimals));
  const word = draw.pick(["±", "u", "SD", "std dev", "± (k = 2)", "uncertainty", "Unsicherheit", "σ"]);
  return {
    what: `each with "${word}"`,
    rows: tableOf([
      ["lower edge µm", ...edges.slice(0, -1).map((um) => n(size(um)))],
      ["upper edge µm", ...edges.slice(1).map((um) => n(size(um)))],
      ...truth.flatMap((known) => [
        [`${known.name} volume %`, ...percents(known, pen).map(n)],
        [word, ...known.shares.map((v) => n(Number((0.002 + 3 * v * (0.8 + 0.4 * draw.unit())).toFixed(3))))],
      ]),
    ]),
    truth,
    quantity: "volume",
    answers: { edge: "both", values: "class" },
    states: ["unit", "edge", "quantity", "scale", "values"],
    isNamed: true,
  };
};

/** Lists across, their units in a column of their own. */
const turned: KindOf = (pen) => {
  const { draw, n } = pen;
  const edges = edgesOf(draw, false);
  const truth = ["A", "B", "C"]
    .slice(0, draw.whole(1, 3))
    .map((letter) => powderIn(draw, edges, `run ${letter}`, pen.decimals));
  const form = draw.pick(["both", "upper"] as const);
  const hasUnits = draw.chance(0.6);
  const row = (head: string, unit: string, cells: readonly number[]) =>
    hasUnits ? [head, unit, ...cells.map(n)] : [`${head} ${unit}`, ...cells.map(n)];
  const isCumulative = draw.chance(0.4);
  const upper = row(
    "upper edge",
    "µm",
    edges.slice(1).map((um) => size(um)),
  );
  return {
    what: `across, ${form}, ${isCumulative ? "under" : "class"}${hasUnits ? ", units in a column" : ""}`,
    rows: [
      ...(form === "both"
        ? [
            row(
              "lower edge",
              "µm",
              edges.slice(0, -1).map((um) => size(um)),
            ),
          ]
        : []),
      upper,
      ...truth.map((known) =>
        row(
          `${known.name} volume${isCumulative ? " undersize" : ""}`,
          "%",
          isCumulative ? under(known, pen) : percents(known, pen),
        ),
      ),
    ],
    truth,
    quantity: "volume",
    answers: { edge: form, values: isCumulative ? "undersize" : "class", layout: "rows" },
    states: ["unit", "edge", "quantity", "scale", "values", "layout"],
    isNamed: true,
  };
};

/** Two tables below each other, each with its own unit and quantity. */
const twoBlocks: KindOf = (pen) => {
  const { draw, n } = pen;
  const parts = [
    { quantity: "volume" as const, unit: draw.pick(["µm", "nm"]) },
    { quantity: draw.pick(["number", "surface"] as const), unit: draw.pick(["µm", "nm", "mm"]) },
  ];
  const truth = parts.map(({ quantity }, i) => ({
    ...powderIn(draw, edgesOf(draw, false), `run ${"AB"[i]}`, pen.decimals),
    quantity,
  }));
  const perUm = { µm: 1, nm: 1000, mm: 0.001 };
  const isSaidAbove = draw.chance(0.5);
  return {
    what: `two blocks, ${parts.map((p) => `${p.quantity} ${p.unit}`).join(", ")}`,
    rows: truth.flatMap((known, i) => {
      const { quantity = "volume", unit = "µm" } = parts[i] ?? {};
      const um = (x: number) => n(size(x * perUm[unit as "µm"]));
      return [
        ...(isSaidAbove ? [[`distribution by ${quantity}`]] : []),
        ...tableOf([
          [`lower edge ${unit}`, ...known.edgesUm.slice(0, -1).map(um)],
          [`upper edge ${unit}`, ...known.edgesUm.slice(1).map(um)],
          [`${known.name}${isSaidAbove ? "" : ` ${quantity}`} %`, ...percents(known, pen).map(n)],
        ]),
        [""],
      ];
    }),
    truth,
    quantity: "volume",
    answers: { edge: "both", values: "class" },
    states: ["unit", "edge", "quantity", "scale", "values"],
    isNamed: true,
  };
};

/** Lines around a table that speak of densities, solids and amounts. */
const amountNotes = [
  "true density 4.55 g/cm3",
  "density: 4.55 g/cm³ (gas, n = 3)",
  "solids content 35 % by volume",
  "solids 98 %",
  "10 vol% dispersant",
  "number of particles counted: 10 000",
  "specific surface area 2.1 m2/g",
  "refractive index 1.83",
  "length of cell 10 mm",
  "mass of powder 0.25 g",
  "concentration 120 ppm",
  "volume of beaker 600 ml",
  "loading 12 wt.%",
  "batch of 40 kg",
];

/** Each kind with the tables of the composed generator under notes that speak of amounts. */
const kinds: readonly KindOf[] = [
  phi,
  meshes,
  groupedCounts,
  twoQuantities,
  arithmeticMids,
  perMille,
  unknownTongue,
  uncertain,
  turned,
  twoBlocks,
];

export function oddOf(seed: number): Hostile {
  const draw = drawFrom(seed + 55_000_000);
  const kind = draw.pick([null, ...kinds]);
  return kind === null
    ? hostileOf(seed + 60_000_000, { names, noteLines: amountNotes })
    : tableOfKind(seed, draw, { kind, noteLines: amountNotes });
}
