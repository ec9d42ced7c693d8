import { type KindOf, type Pen, percents, phiOf, size, tableOf, under } from "./kind.ts";
import { edgesOf, type KnownPowder, percentileOf, powderIn } from "./powder.ts";

// What instruments and laboratory books export: results above the classes, pages, repeats with figures of theirs beside,
// open classes, channels, sums that rounding or a filter moved, names that hold the reader's own words.

const all = ["unit", "edge", "quantity", "scale", "values"];
const one = (pen: Pen, name = "") => powderIn(pen.draw, edgesOf(pen.draw, false), name, pen.decimals);
const um = (edges: readonly number[], { n }: Pen, times = 1) => edges.map((x) => n(size(x * times)));
const over = (known: KnownPowder, pen: Pen) =>
  under(known, pen).map((q) => Number((100 - q).toFixed(pen.decimals)));
const both = (edges: readonly number[], pen: Pen) => [
  ["lower edge µm", ...um(edges.slice(0, -1), pen)],
  ["upper edge µm", ...um(edges.slice(1), pen)],
];

/** Sizes across with a row of units below them, measurements in rows. */
const unitsBelowAcross: KindOf = (pen) => {
  const { draw, n } = pen;
  const edges = edgesOf(draw, false);
  const truth = ["A", "B", "C"]
    .slice(0, draw.whole(1, 3))
    .map((letter) => powderIn(draw, edges, `lot ${letter}`, pen.decimals));
  const isCumulative = draw.chance(0.5);
  const [unit, times] = draw.pick([
    ["µm", 1],
    ["nm", 1000],
    ["mm", 0.001],
  ] as const);
  const written = draw.pick([unit, `[${unit}]`, `(${unit})`]);
  const isMerged = draw.chance(0.4);
  return {
    what: `across, "${written}" below${isMerged ? " once" : ""}, ${isCumulative ? "under" : "class"}`,
    rows: [
      [`volume ${isCumulative ? "undersize %" : "% in class, sizes are upper edges"}`],
      ["sample", ...um(edges.slice(1), pen, times)],
      ["", ...edges.slice(1).map((_, i) => (isMerged && i > 0 ? "" : written))],
      ...truth.map((known) => [
        known.name,
        ...(isCumulative ? under(known, pen) : percents(known, pen)).map(n),
      ]),
    ],
    truth,
    quantity: "volume",
    answers: {
      edge: "upper",
      unit: unit === "µm" ? "um" : unit,
      values: isCumulative ? "undersize" : "class",
      layout: "rows",
    },
    states: ["unit", "quantity", "scale", "values"],
    isNamed: true,
    hasNotes: true,
  };
};

/** A block of results with percentiles and means, and the classes below. */
const resultsAbove: KindOf = (pen) => {
  const { draw, n } = pen;
  const known = one(pen);
  const d = (q: number) => n(size(percentileOf(known, q), 4));
  const join = draw.pick(["cells", "colon", "equals"] as const);
  const line = (key: string, value: string, unit: string) =>
    join === "cells"
      ? [key, value, unit]
      : join === "colon"
        ? [`${key}: ${value} ${unit}`]
        : [`${key} = ${value} ${unit}`];
  const isCumulative = draw.chance(0.5);
  return {
    what: `results above as ${join}, ${isCumulative ? "class+under" : "class"}`,
    rows: [
      [draw.pick(["Result", "Results", "Ergebnis", "結果", "Résultat"])],
      line("D10", d(0.1), "µm"),
      line("D50", d(0.5), "µm"),
      line("D90", d(0.9), "µm"),
      line(draw.pick(["span", "(D90-D10)/D50"]), n(2.13), ""),
      line("specific surface", n(1.87), "m2/g"),
      line(draw.pick(["residual", "obscuration", "Konzentration"]), n(0.61), "%"),
      ...(draw.chance(0.7) ? [[""]] : []),
      ...(draw.chance(0.5) ? [["Classes"]] : []),
      ...tableOf([
        ...both(known.edgesUm, pen),
        ["volume in class %", ...percents(known, pen).map(n)],
        ...(isCumulative ? [["volume below %", ...under(known, pen).map(n)]] : []),
      ]),
    ],
    truth: [known],
    quantity: "volume",
    answers: { edge: "both", values: "class" },
    states: all,
    hasNotes: true,
  };
};

/** What lies below and what lies above beside each other, with what lies in the class or without. */
const belowAndAbove: KindOf = (pen) => {
  const { draw, n } = pen;
  const known = one(pen);
  const words = draw.pick([
    ["under %", "over %", "in class %"],
    ["passing %", "retained (cum.) %", "fraction %"],
    ["Durchgang %", "Rückstand %", "Anteil %"],
    ["Q", "R", "p"],
    ["finer", "coarser", "share"],
    ["通過 %", "残留 %", "頻度 %"],
  ]);
  const columns = [
    [words[0] ?? "", ...under(known, pen).map(n)],
    [words[1] ?? "", ...over(known, pen).map(n)],
    ...(draw.chance(0.5) ? [[words[2] ?? "", ...percents(known, pen).map(n)]] : []),
  ];
  const isTurned = draw.chance(0.5);
  const above = draw.chance(0.5) ? [["by volume"]] : [];
  const [head = [], ...body] = tableOf([
    [draw.pick(["size µm", "x / µm", "aperture µm", "d (µm)"]), ...um(known.edgesUm.slice(1), pen)],
    ...(isTurned ? columns.toReversed() : columns),
  ]);
  return {
    what: `${words.join(", ")}${isTurned ? ", turned" : ""}`,
    rows: [...above, head, ...(draw.chance(0.3) ? body.toReversed() : body)],
    truth: [known],
    quantity: "volume",
    answers: { edge: "upper", values: "undersize" },
    states: ["unit", "scale", "edge", ...(above.length > 0 ? ["quantity"] : [])],
    hasNotes: true,
  };
};

/** Runs named by the day and time at which they were measured. */
const datedRuns: KindOf = (pen) => {
  const { draw, n } = pen;
  const edges = edgesOf(draw, false);
  const names = draw.pick([
    ["2026-03-04", "2026-03-05", "2026-03-06"],
    ["04.03.2026", "05.03.2026"],
    ["03/04/2026 09:15", "03/04/2026 10:40"],
    ["4 Mar 26", "5 Mar 26", "6 Mar 26"],
    ["2026年3月4日", "2026年3月5日"],
    ["09:15", "09:20", "09:25"],
    ["KW 12", "KW 13"],
  ]);
  const truth = names.map((name) => powderIn(draw, edges, name, pen.decimals));
  return {
    what: `runs of ${names[0]}`,
    rows: [
      ["volume % in class"],
      ...tableOf([
        ...both(edges, pen),
        ...truth.map((known) => [known.name, ...percents(known, pen).map(n)]),
      ]),
    ],
    truth,
    quantity: "volume",
    answers: { edge: "both", values: "class" },
    states: all,
    isNamed: true,
    hasNotes: true,
  };
};

/** Three to five repeats with their mean and scatter, under any word or none. */
const repeatsWithMean: KindOf = (pen) => {
  const { draw, n } = pen;
  const edges = edgesOf(draw, false);
  const truth = ["1", "2", "3", "4", "5"]
    .slice(0, draw.whole(3, 5))
    .map((i) => powderIn(draw, edges, `run ${i}`, pen.decimals));
  const lists = truth.map((known) => percents(known, pen));
  const means = edges.slice(1).map((_, i) => lists.reduce((s, l) => s + (l[i] ?? 0), 0) / lists.length);
  const sds = means.map((m, i) =>
    Math.sqrt(lists.reduce((s, l) => s + ((l[i] ?? 0) - m) ** 2, 0) / (lists.length - 1)),
  );
  const rsds = sds.map((s, i) => ((means[i] ?? 0) > 0 ? (100 * s) / (means[i] ?? 1) : 0));
  const said = (list: readonly number[]) => list.map((v) => n(Number(v.toFixed(pen.decimals))));
  const [mean, sd, rsd] = draw.pick([
    ["mean", "SD", "RSD %"],
    ["x̄", "s", "CV"],
    ["", "", ""],
    ["keskiarvo", "hajonta", "%"],
    ["MW", "Stabw.", "rel."],
    ["average of all", "± 1 s", "±%"],
    ["平均", "標準偏差", "変動係数"],
  ]);
  const figures = [
    [mean, ...said(means)],
    ...(draw.chance(0.8) ? [[sd, ...said(sds)]] : []),
    ...(draw.chance(0.4) ? [[rsd, ...said(rsds)]] : []),
  ];
  const runs = truth.map((known) => [known.name, ...percents(known, pen).map(n)]);
  const isFirst = draw.chance(0.3);
  return {
    what: `${truth.length} repeats, ${figures.map(([h]) => `"${h}"`).join(" ")}${isFirst ? " first" : ""}`,
    rows: [
      ["by volume, % in class"],
      ...tableOf([...both(edges, pen), ...(isFirst ? [...figures, ...runs] : [...runs, ...figures])]),
    ],
    truth,
    quantity: "volume",
    answers: { edge: "both", values: "class" },
    states: all,
    isNamed: true,
    hasNotes: true,
  };
};

/** Ranges with an open class at each end, where nothing lies. */
const openClasses: KindOf = (pen) => {
  const { draw, n } = pen;
  const known = one(pen);
  const edges = um(known.edgesUm, pen);
  const dash = draw.pick(["-", "–", " - ", " to ", "...", " bis ", "~", " < x < ", ".."]);
  const [below, above] = draw.pick([
    ["<", ">"],
    ["< ", "> "],
    ["≤", ">"],
    ["below ", "above "],
    ["unter ", "über "],
    ["under ", "over "],
  ] as const);
  const unit = draw.pick(["", " µm"]);
  const nothing = draw.pick([n(0), "0", "", "-"]);
  const classes = edges.slice(1).map((to, i) => `${edges[i]}${dash}${to}${unit}`);
  return {
    what: `open "${below}", ranges "${dash}", "${nothing}"`,
    rows: tableOf([
      [
        draw.pick(["size class µm", "fraction (µm)", "range / µm"]),
        `${below}${edges[0]}${unit}`,
        ...classes,
        `${above}${edges.at(-1)}${unit}`,
      ],
      [draw.pick(["volume %", "vol.-%"]), nothing, ...percents(known, pen).map(n), nothing],
    ]),
    truth: [known],
    quantity: "volume",
    answers: { edge: "both", values: "class" },
    states: all,
  };
};

const decade = (a: number, b: number) => Math.log10(b / a);
const ln = (a: number, b: number) => Math.log(b / a);

/** Density per decade or per ln, said so, with the share or the sum beside or alone. */
const densityPerLog: KindOf = (pen) => {
  const { draw, n } = pen;
  const known = one(pen);
  const [per, step] = draw.pick([
    ["dQ3/dlog x", decade],
    ["q3lg", decade],
    ["dV/dlnD", ln],
    ["dV/dlogD", decade],
    ["q3*(ln x)", ln],
  ] as const);
  const list = known.shares.map((v, i) =>
    Number((v / step(known.edgesUm[i] ?? 1, known.edgesUm[i + 1] ?? 1)).toPrecision(8)),
  );
  return {
    what: per,
    rows: tableOf([
      ...both(known.edgesUm, pen),
      [per, ...list.map(n)],
      ...(draw.chance(0.5) ? [["Q3 %", ...under(known, pen).map(n)]] : []),
    ]),
    truth: [known],
    quantity: "volume",
    answers: { edge: "both", values: step === ln ? "density-ln" : "density-decade" },
    states: ["unit", "edge", "scale"],
  };
};

/** Channels counted from 1, from 0, or from the coarse end. */
const channels: KindOf = (pen) => {
  const { draw, n } = pen;
  const known = one(pen);
  const word = draw.pick(["channel", "ch.", "Kanal", "#", "", "チャンネル", "bin", "i"]);
  const from = draw.pick([0, 1, 17]);
  const isBoth = draw.chance(0.5);
  const isCumulative = draw.chance(0.5);
  const order = known.shares.map((_, i) => String(from + i));
  return {
    what: `channels "${word}" from ${from}, ${isBoth ? "both" : "upper"}, ${isCumulative ? "under" : "class"}`,
    rows: tableOf([
      [word, ...(draw.chance(0.3) ? order.toReversed() : order)],
      ...(isBoth ? both(known.edgesUm, pen) : both(known.edgesUm, pen).slice(1)),
      [
        isCumulative ? "cumulative volume %" : "volume %",
        ...(isCumulative ? under(known, pen) : percents(known, pen)).map(n),
      ],
    ]),
    truth: [known],
    quantity: "volume",
    answers: { edge: isBoth ? "both" : "upper", values: isCumulative ? "undersize" : "class" },
    states: ["unit", "edge", "quantity", "scale", ...(isCumulative ? [] : ["values"])],
  };
};

/** Fractions of 1, in classes or as a sum, or both. */
const fractions: KindOf = (pen) => {
  const { draw, n } = pen;
  const known = one(pen);
  const kinds = draw.pick([["class"], ["under"], ["class", "under"]] as const);
  const heads = draw.pick([
    { class: "volume fraction", under: "cumulative volume fraction" },
    { class: "Volumenanteil", under: "Volumensumme" },
    { class: "fraction volumique", under: "fraction volumique cumulée" },
  ]);
  return {
    what: `fractions, ${kinds.join("+")}`,
    rows: tableOf([
      ...both(known.edgesUm, pen),
      ...kinds.map((kind) => [
        heads[kind],
        ...(kind === "class"
          ? percents(known, pen, 1)
          : under(known, pen, 1).map((v) => Number(v.toFixed(6)))
        ).map(n),
      ]),
    ]),
    truth: [known],
    quantity: "volume",
    answers: { edge: "both", values: kinds[0] === "class" ? "class" : "undersize", scale: "fraction" },
    states: ["unit", "edge", "quantity", ...(kinds[0] === "class" ? ["values"] : [])],
  };
};

/** Shares that a filter or rounding left at 99.2 to 100.8 in sum. */
const sumsAstray: KindOf = (pen) => {
  const { draw, n } = pen;
  const known = one(pen);
  const sum = draw.pick([99.2, 99.7, 100.3, 100.8]);
  return {
    what: `sum ${sum}`,
    rows: tableOf([
      ...both(known.edgesUm, pen),
      ["volume %", ...known.shares.map((v) => n(Number((v * sum).toFixed(6))))],
    ]),
    truth: [known],
    quantity: "volume",
    answers: { edge: "both", values: "class" },
    states: all,
  };
};

/** A sum that begins above nothing and ends short of the whole: what lies outside is not known. */
const cutShort: KindOf = (pen) => {
  const { draw, n } = pen;
  const known = one(pen);
  const list = under(known, pen);
  const first = Math.max(
    0,
    list.findIndex((q) => q > 2 && q < 9),
  );
  const isOpenAbove = draw.chance(0.5);
  const past = list.findIndex((q) => q > 92);
  const last = isOpenAbove && past > first + 4 ? past + 1 : list.length;
  return {
    what: `sum from ${list[first]} to ${list[last - 1]}`,
    rows: tableOf([
      ["size µm", ...um(known.edgesUm.slice(1), pen).slice(first, last)],
      ["cumulative undersize volume %", ...list.slice(first, last).map(n)],
    ]),
    truth: [known],
    quantity: "volume",
    answers: { edge: "upper", values: "undersize" },
    states: ["unit", "quantity", "scale", "values", "edge"],
    refusable: true,
  };
};

/** A list on two pages, the second with the heading again, a page number, or both. */
const twoPages: KindOf = (pen) => {
  const { draw, n } = pen;
  const known = one(pen);
  const isCumulative = draw.chance(0.5);
  const [head = [], ...body] = tableOf([
    ...(draw.chance(0.5) ? both(known.edgesUm, pen) : both(known.edgesUm, pen).slice(1)),
    [
      isCumulative ? "volume undersize %" : "volume %",
      ...(isCumulative ? under(known, pen) : percents(known, pen)).map(n),
    ],
  ]);
  const at = draw.whole(3, body.length - 3);
  const hasHead = draw.chance(0.7);
  const page = draw.pick([null, "page", "Seite", "- 2 -", "report 17, continued"] as const);
  const footer = page === null ? [] : [[page === "page" || page === "Seite" ? `${page} 1 / 2` : page]];
  return {
    what: `two pages, ${hasHead ? "heading again" : "no heading"}, ${page ?? "no number"}`,
    rows: [
      head,
      ...body.slice(0, at),
      ...footer,
      ...(draw.chance(0.5) ? [[""]] : []),
      ...(hasHead ? [head] : []),
      ...body.slice(at),
      ...(page === "page" ? [["page 2 / 2"]] : []),
    ],
    truth: [known],
    quantity: "volume",
    answers: {
      edge: head.length === 3 ? "both" : "upper",
      values: isCumulative ? "undersize" : "class",
    },
    states: ["unit", "edge", "quantity", "scale", "values"],
    hasNotes: true,
  };
};

/** Remarks below the table that hold numbers, lengths and quantities. */
const notesBelow: KindOf = (pen) => {
  const { draw, n } = pen;
  const known = one(pen);
  const lines = [
    "1) below 0.1 µm nothing was found in 3 of 40 portions",
    "* number of particles: 120 000",
    "2) volume of the cell 40 ml",
    "limit 10.0 5.0",
    "D50 3.1 µm; D90 9.4 µm",
    "3,4 see report 12",
    "checked 2026-03-04, 2 of 2",
    "Note: 1 mesh is no unit here",
    "a = mass % of the wet cake; b = 95 %",
    "signed 7.5.2026",
  ];
  const below = Array.from({ length: draw.whole(1, 3) }, () => draw.pick(lines));
  const isCumulative = draw.chance(0.4);
  return {
    what: `below: ${below.join(" | ")}`,
    rows: [
      ...tableOf([
        ...both(known.edgesUm, pen),
        [
          isCumulative ? "volume undersize %" : "volume %",
          ...(isCumulative ? under(known, pen) : percents(known, pen)).map(n),
        ],
      ]),
      ...(draw.chance(0.5) ? [[""]] : []),
      ...below.map((line) => [line]),
    ],
    truth: [known],
    quantity: "volume",
    answers: { edge: "both", values: isCumulative ? "undersize" : "class" },
    states: all,
    hasNotes: true,
  };
};

/** Samples whose names hold the reader's own words. */
const speakingNames: KindOf = (pen) => {
  const { draw, n } = pen;
  const edges = edgesOf(draw, false);
  const names = [
    "volume 3 µm mean",
    "number 7 nm",
    "average host, cumulative",
    "undersize 2 mm",
    "surface total",
    "mid class SD",
    "D50 2.1 µm",
    "sum of bag 4",
    "lower shelf",
    "oversize rest 40 %",
    "mesh 325",
    "density 4.55",
    "phi 2",
    "max feed",
    "length 10",
  ];
  const from = draw.whole(0, names.length - 4);
  const truth = names
    .slice(from, from + draw.whole(2, 4))
    .map((name) => powderIn(draw, edges, name, pen.decimals));
  const form = draw.pick(["notes", "prefix", "rows"] as const);
  const rows =
    form === "rows"
      ? [
          ["volume % in class, sizes are upper edges in µm"],
          ["sample", ...um(edges.slice(1), pen)],
          ...truth.map((known) => [known.name, ...percents(known, pen).map(n)]),
        ]
      : [
          ...(form === "notes" ? [["volume % in class"]] : []),
          ...tableOf([
            ...both(edges, pen),
            ...truth.map((known) => [
              form === "prefix" ? `volume % (${known.name})` : known.name,
              ...percents(known, pen).map(n),
            ]),
          ]),
        ];
  return {
    what: `names ${names[from]}…, ${form}`,
    rows,
    truth,
    quantity: "volume",
    answers: {
      edge: form === "rows" ? "upper" : "both",
      values: "class",
      layout: form === "rows" ? "rows" : "columns",
    },
    states: form === "notes" ? ["edge", "unit"] : form === "rows" ? ["unit", "quantity"] : ["edge"],
    isNamed: true,
    hasNotes: true,
  };
};

/** Measurements below each other, each under lines of its own. */
const stacked: KindOf = (pen) => {
  const { draw, n } = pen;
  const isOneGrid = draw.chance(0.5);
  const edges = edgesOf(draw, false);
  const truth = ["A", "B", "C", "D"]
    .slice(0, draw.whole(2, 4))
    .map((letter) => powderIn(draw, isOneGrid ? edges : edgesOf(draw, false), `lot ${letter}`, pen.decimals));
  const key = draw.pick(["Sample", "sample name", "Probe", "試料", "Échantillon"]);
  const join = draw.pick(["cell", "colon", "bare"] as const);
  const isCumulative = draw.chance(0.4);
  const gap = draw.whole(1, 2);
  return {
    what: `stacked, ${join}, ${isCumulative ? "under" : "class"}${isOneGrid ? ", one grid" : ""}`,
    rows: truth.flatMap((known) => [
      join === "cell" ? [key, known.name] : join === "colon" ? [`${key}: ${known.name}`] : [known.name],
      ...(draw.chance(0.6) ? [["date", "2026-03-04"]] : []),
      ...(draw.chance(0.4) ? [["D50", n(size(percentileOf(known, 0.5), 4)), "µm"]] : []),
      ...tableOf([
        ...both(known.edgesUm, pen),
        [
          isCumulative ? "volume undersize %" : "volume %",
          ...(isCumulative ? under(known, pen) : percents(known, pen)).map(n),
        ],
      ]),
      ...Array.from({ length: gap }, () => [""]),
    ]),
    truth,
    quantity: "volume",
    answers: { edge: "both", values: isCumulative ? "undersize" : "class" },
    states: all,
    isNamed: true,
    hasNotes: true,
  };
};

/** Headings over several rows whose cells were merged: a quantity over all runs, units once. */
const mergedHeadings: KindOf = (pen) => {
  const { draw, n } = pen;
  const edges = edgesOf(draw, false);
  const truth = ["run 1", "run 2", "run 3"]
    .slice(0, draw.whole(1, 3))
    .map((name) => powderIn(draw, edges, name, pen.decimals));
  const isCumulative = draw.chance(0.4);
  const rest = truth.slice(1).map(() => "");
  const body = tableOf([
    ...both(edges, pen).map(([, ...cells]) => cells),
    ...truth.map((known) => (isCumulative ? under(known, pen) : percents(known, pen)).map(n)),
  ]);
  const unitRow = draw.chance(0.5)
    ? ["µm", "", "%", ...rest]
    : ["µm", "µm", "%", ...truth.slice(1).map(() => "%")];
  return {
    what: `merged headings, ${truth.length}, ${isCumulative ? "under" : "class"}, units ${unitRow[1] === "" ? "once" : "each"}`,
    rows: [
      ["class edges", "", isCumulative ? "volume undersize" : "volume in class", ...rest],
      ["lower", "upper", ...truth.map(({ name }) => name)],
      unitRow,
      ...body,
    ],
    truth,
    quantity: "volume",
    answers: { edge: "both", values: isCumulative ? "undersize" : "class" },
    states: all,
    isNamed: true,
    hasNotes: true,
  };
};

/** Each sample with sizes of its own, in a unit of its own. */
const ownSizes: KindOf = (pen) => {
  const { draw, n } = pen;
  const truth = ["A", "B"].map((letter) => one(pen, `lot ${letter}`));
  const units = draw.pick([
    [
      ["µm", 1],
      ["µm", 1],
    ],
    [
      ["nm", 1000],
      ["µm", 1],
    ],
    [
      ["µm", 1],
      ["mm", 0.001],
    ],
  ] as const);
  const isCumulative = draw.chance(0.5);
  const lists = truth.flatMap((known, i) => {
    const [unit, times] = units[i] ?? ["µm", 1];
    return [
      [`size (${unit})`, ...um(known.edgesUm.slice(1), pen, times)],
      [
        `${known.name} volume ${isCumulative ? "undersize " : ""}%`,
        ...(isCumulative ? under(known, pen) : percents(known, pen)).map(n),
      ],
    ];
  });
  const longest = lists.reduce((a, b) => (b.length > a.length ? b : a), [""]);
  return {
    what: `own sizes in ${units.map(([u]) => u).join(", ")}, ${isCumulative ? "under" : "class"}`,
    rows: longest.map((_, i) => lists.map((list) => list[i] ?? "")),
    truth,
    quantity: "volume",
    answers: { edge: "upper", values: isCumulative ? "undersize" : "class" },
    states: ["unit", "quantity", "scale", "values", ...(isCumulative ? ["edge"] : [])],
    isNamed: true,
  };
};

/** Number and volume of one curve beside each other on phi, or with the phi beside the µm. */
const phiBeside: KindOf = (pen) => {
  const { draw, n } = pen;
  const known = one(pen);
  const isFirst = draw.chance(0.5);
  const phi = ["phi", ...known.edgesUm.slice(1).map((x) => n(phiOf(x)))];
  const sizes = ["upper edge µm", ...um(known.edgesUm.slice(1), pen)];
  return {
    what: `phi ${isFirst ? "before" : "behind"} µm`,
    rows: tableOf([
      ...(isFirst ? [phi, sizes] : [sizes, phi]),
      [draw.pick(["volume %", "mass %"]), ...percents(known, pen).map(n)],
      ...(draw.chance(0.4) ? [["cumulative %", ...under(known, pen).map(n)]] : []),
    ]),
    truth: [known],
    quantity: "volume",
    answers: { edge: "upper", values: "class" },
    states: all,
  };
};

/** Sizes above a thousand with a sign between the thousands, shares with the other mark. */
const groupedSizes: KindOf = (pen) => {
  const { draw, n, mark } = pen;
  const step = 1.25 + 0.2 * draw.unit();
  const edges = Array.from({ length: 16 }, (_, i) => Number((90 * step ** i).toFixed(2)));
  const known = powderIn(draw, edges, "", pen.decimals);
  const sign = draw.pick(mark === "," ? [".", " ", "'", "\u00a0"] : [",", " ", "'", "\u202f"]);
  const grouped = (x: number) => {
    const [whole = "", rest = ""] = x.toFixed(2).split(".");
    return `${whole.replace(/\B(?=(\d{3})+$)/g, sign)}${mark}${rest}`;
  };
  return {
    what: `sizes grouped by "${sign}"`,
    rows: tableOf([
      ["lower edge µm", ...edges.slice(0, -1).map(grouped)],
      ["upper edge µm", ...edges.slice(1).map(grouped)],
      ["mass %", ...percents(known, pen).map(n)],
    ]),
    truth: [known],
    quantity: "volume",
    answers: { edge: "both", values: "class" },
    states: all,
  };
};

export const exportKinds: readonly KindOf[] = [
  unitsBelowAcross,
  resultsAbove,
  belowAndAbove,
  datedRuns,
  repeatsWithMean,
  openClasses,
  densityPerLog,
  channels,
  fractions,
  sumsAstray,
  cutShort,
  twoPages,
  notesBelow,
  speakingNames,
  stacked,
  mergedHeadings,
  ownSizes,
  phiBeside,
  groupedSizes,
];
