import { type KindOf, type Pen, percents, size, tableOf, under } from "./kind.ts";
import { edgesOf, powderIn } from "./powder.ts";

// What a spreadsheet or a hand makes of a table: names that are numbers, headings over several lines, comments, marks that
// point to footnotes, dates and errors in place of numbers, digits of other scripts, units as powers of ten.

const all = ["unit", "edge", "quantity", "scale", "values"];
const both = (edges: readonly number[], { n }: Pen, unit = "µm") => [
  [`lower edge ${unit}`, ...edges.slice(0, -1).map((x) => n(size(x)))],
  [`upper edge ${unit}`, ...edges.slice(1).map((x) => n(size(x)))],
];
const one = (pen: Pen, name = "") => powderIn(pen.draw, edgesOf(pen.draw, false), name, pen.decimals);

/** Samples whose names are plain numbers: years, tanks, days. */
const numberNames: KindOf = (pen) => {
  const { draw, n } = pen;
  const edges = edgesOf(draw, false);
  const names = draw.pick([
    ["1", "2", "3"],
    ["2024", "2025", "2026"],
    ["0", "30", "60", "120"],
    ["101", "103", "102"],
    ["600", "700", "800", "900"],
  ]);
  const truth = names.map((name) => powderIn(draw, edges, name, pen.decimals));
  const isCumulative = draw.chance(0.5);
  const word = isCumulative ? "undersize" : "in class";
  const isAbove = draw.chance(0.5);
  return {
    what: `names ${names[0]}…, ${isCumulative ? "under" : "class"}`,
    rows: [
      ...(isAbove ? [[`volume % ${word}`]] : []),
      ...tableOf([
        ["upper edge µm", ...edges.slice(1).map((x) => n(size(x)))],
        ...truth.map((known) => [
          known.name,
          ...(isCumulative ? under(known, pen) : percents(known, pen)).map(n),
        ]),
      ]),
    ],
    truth,
    quantity: "volume",
    answers: { edge: "upper", values: isCumulative ? "undersize" : "class" },
    states: ["unit", "edge", ...(isAbove ? ["quantity"] : [])],
    isNamed: true,
    hasNotes: true,
  };
};

/** Two columns a sample under its name, which stands over the first of them alone. */
const namesAbove: KindOf = (pen) => {
  const { draw, n } = pen;
  const edges = edgesOf(draw, false);
  const truth = ["lot 7", "lot 8", "lot 9"]
    .slice(0, draw.whole(2, 3))
    .map((name) => powderIn(draw, edges, name, pen.decimals));
  const [share, sum] = draw.pick([
    ["% vol", "% cum"],
    ["in class vol%", "cumulative vol%"],
    ["volume %", "volume % <"],
  ] as const);
  const left = both(edges, pen);
  const body = tableOf([
    ...left,
    ...truth.flatMap((known) => [
      [share, ...percents(known, pen).map(n)],
      [sum, ...under(known, pen).map(n)],
    ]),
  ]);
  return {
    what: `names above, "${share}" "${sum}"`,
    rows: [["", "", ...truth.flatMap(({ name }) => [name, ""])], ...body],
    truth,
    quantity: "volume",
    answers: { edge: "both", values: "class" },
    states: all,
    isNamed: true,
  };
};

/** The same name for each. */
const sameNames: KindOf = (pen) => {
  const { draw, n } = pen;
  const edges = edgesOf(draw, false);
  const name = draw.pick(["YG-07", "milled", "sample", "run"]);
  const truth = Array.from({ length: draw.whole(2, 4) }, () => powderIn(draw, edges, name, pen.decimals));
  return {
    what: "the same name for each",
    rows: tableOf([
      ...both(edges, pen),
      ...truth.map((known) => [`${name} volume %`, ...percents(known, pen).map(n)]),
    ]),
    truth,
    quantity: "volume",
    answers: { edge: "both", values: "class" },
    states: all,
    isNamed: true,
  };
};

/** Headings over several lines within their cells. */
const brokenHeadings: KindOf = (pen) => {
  const { draw, n } = pen;
  const known = one(pen);
  const isCumulative = draw.chance(0.5);
  return {
    what: `headings over lines, ${isCumulative ? "under" : "class"}`,
    rows: tableOf([
      ["Lower\nedge\n(µm)", ...known.edgesUm.slice(0, -1).map((x) => n(size(x)))],
      ["Upper\nedge\n(µm)", ...known.edgesUm.slice(1).map((x) => n(size(x)))],
      [
        isCumulative ? "Volume,\ncumulative\nundersize (%)" : "Volume\nin class\n(%)",
        ...(isCumulative ? under(known, pen) : percents(known, pen)).map(n),
      ],
    ]),
    truth: [known],
    quantity: "volume",
    answers: { edge: "both", values: isCumulative ? "undersize" : "class" },
    states: all,
  };
};

/** A column of remarks, some of them numbers. */
const remarks: KindOf = (pen) => {
  const { draw, n } = pen;
  const known = one(pen);
  const words = [
    "ok",
    "see p. 3",
    "?",
    "coarse",
    "2x",
    "checked 14:30",
    "repeat",
    "12",
    "J.",
    "< limit",
    "5 µm?",
  ];
  const columns = [
    ...both(known.edgesUm, pen),
    ["volume %", ...percents(known, pen).map(n)],
    [
      draw.pick(["remarks", "Bemerkung", "comment", "", "note"]),
      ...known.shares.map(() => (draw.chance(0.3) ? draw.pick(words) : "")),
    ],
  ];
  const order = draw.pick([
    [0, 1, 2, 3],
    [3, 0, 1, 2],
    [0, 1, 3, 2],
  ]);
  return {
    what: `remarks in column ${order.indexOf(3) + 1}`,
    rows: tableOf(order.map((i) => columns[i] ?? [])),
    truth: [known],
    quantity: "volume",
    answers: { edge: "both", values: "class" },
    states: all,
  };
};

/** Marks behind some numbers that point to lines below. */
const footnotes: KindOf = (pen) => {
  const { draw, n } = pen;
  const known = one(pen);
  const mark = draw.pick(["*", " *", "¹", "ᵃ", " a)", "†", "**", " (1)", "#"]);
  const at = draw.whole(0, known.shares.length - 1);
  const values = percents(known, pen).map((v, i) => (i === at ? `${n(v)}${mark}` : n(v)));
  return {
    what: `footnote "${mark}"`,
    rows: [
      ...tableOf([...both(known.edgesUm, pen), ["volume %", ...values]]),
      [""],
      [
        `${mark.trim()} ${draw.pick(["measured twice", "below 0.1 % uncertain", "outlier left out, n = 2", "see report 14"])}`,
      ],
    ],
    truth: [known],
    quantity: "volume",
    answers: { edge: "both", values: "class" },
    states: all,
    refusable: true,
  };
};

const months = ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"];

/** Sizes or ranges that a spreadsheet turned into days. */
const turnedIntoDays: KindOf = (pen) => {
  const { draw, n } = pen;
  const edges = [0.5, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12];
  const known = powderIn(draw, edges, "", pen.decimals);
  const style = draw.pick(["d-mmm", "mmm-yy", "dd.mm.", "serial", "iso"] as const);
  const isRange = draw.chance(0.5);
  const day = (a: number, b: number) =>
    style === "d-mmm"
      ? `${a}-${months[b - 1]}`
      : style === "mmm-yy"
        ? `${months[a - 1]}-${10 + b}`
        : style === "dd.mm."
          ? `0${a}.${b < 10 ? "0" : ""}${b}.`
          : style === "serial"
            ? String(46_000 + 31 * b + a)
            : `2026-${b < 10 ? "0" : ""}${b}-0${a} 00:00:00`;
  const sizes = edges.slice(1).map((to, i) => {
    const from = edges[i] ?? 0;
    const isDay = from >= 1 && from < 9 && (isRange || draw.chance(0.3));
    if (isDay) return day(Math.round(from), Math.round(to));
    return isRange ? `${n(from)}-${n(to)}` : n(to);
  });
  return {
    what: `days for ${isRange ? "ranges" : "sizes"}, ${style}`,
    rows: tableOf([
      ["size µm", ...sizes],
      ["volume %", ...percents(known, pen).map(n)],
    ]),
    truth: [known],
    quantity: "volume",
    answers: { edge: isRange ? "both" : "upper", values: "class" },
    states: [],
    refusable: true,
  };
};

/** Values that a spreadsheet could not work out or could not show. */
const errors: KindOf = (pen) => {
  const { draw, n } = pen;
  const known = one(pen);
  const word = draw.pick([
    "#DIV/0!",
    "#N/A",
    "#REF!",
    "########",
    "#VALUE!",
    "#WERT!",
    "=B3/B$20",
    "1.#INF",
    "Err:502",
  ]);
  const at = draw.whole(1, known.shares.length - 2);
  const isCumulative = draw.chance(0.5);
  const values = (isCumulative ? under(known, pen) : percents(known, pen)).map((v, i) =>
    i === at ? word : n(v),
  );
  return {
    what: `"${word}" for a value, ${isCumulative ? "under" : "class"}`,
    rows: tableOf([
      ...both(known.edgesUm, pen),
      [isCumulative ? "volume undersize %" : "volume %", ...values],
    ]),
    truth: [known],
    quantity: "volume",
    answers: { edge: "both", values: isCumulative ? "undersize" : "class" },
    states: [],
    refusable: true,
  };
};

const scripts = ["٠١٢٣٤٥٦٧٨٩", "۰۱۲۳۴۵۶۷۸۹", "०१२३४५६७८९", "０１２３４５６７８９", "๐๑๒๓๔๕๖๗๘๙"];

/** Digits of another script. */
const otherDigits: KindOf = (pen) => {
  const { draw } = pen;
  const known = one(pen);
  const digits = draw.pick(scripts);
  const isArabic = digits.startsWith("٠") || digits.startsWith("۰");
  const isWide = digits.startsWith("０");
  const n = (value: number) =>
    pen
      .n(value)
      .replace(/\d/g, (d) => digits.charAt(Number(d)))
      .replace(/[.,]/, (sign) =>
        isArabic ? "٫" : isWide && draw.chance(0.5) ? (sign === "." ? "．" : "，") : sign,
      );
  const isHalf = draw.chance(0.2);
  return {
    what: `digits ${digits.slice(0, 3)}${isHalf ? " among others" : ""}`,
    rows: tableOf([
      ...both(known.edgesUm, { ...pen, n }),
      ["volume %", ...percents(known, pen).map(isHalf ? pen.n : n)],
    ]),
    truth: [known],
    quantity: "volume",
    answers: { edge: "both", values: "class" },
    states: all,
    refusable: true,
  };
};

/** The unit as a power of ten of the metre. */
const powerOfTen: KindOf = (pen) => {
  const { draw, n } = pen;
  const known = one(pen);
  const [unit, times, answer] = draw.pick([
    ["10^-6 m", 1, "um"],
    ["10⁻⁶ m", 1, "um"],
    ["1e-6 m", 1, "um"],
    ["x 10-6 m", 1, "um"],
    ["10^-9 m", 1000, "nm"],
    ["10⁻³ mm", 1, "um"],
    ["10^-3 m", 0.001, "mm"],
  ] as const);
  return {
    what: `sizes in ${unit}`,
    rows: tableOf([
      [`lower edge (${unit})`, ...known.edgesUm.slice(0, -1).map((x) => n(size(x * times)))],
      [`upper edge (${unit})`, ...known.edgesUm.slice(1).map((x) => n(size(x * times)))],
      ["volume %", ...percents(known, pen).map(n)],
    ]),
    truth: [known],
    quantity: "volume",
    answers: { edge: "both", values: "class", unit: answer },
    states: ["edge", "quantity", "scale", "values"],
  };
};

/** Sizes in metres with exponents. */
const metres: KindOf = (pen) => {
  const { draw, n, mark } = pen;
  const known = one(pen);
  const head = draw.pick(["(m)", "[m]", "/ m", "in m"]);
  const written = (x: number) =>
    (x * 1e-6)
      .toExponential(6)
      .replace(".", mark)
      .replace("e", draw.pick(["E", "e"]));
  return {
    what: `metres ${head}`,
    rows: tableOf([
      [`diameter, lower edge ${head}`, ...known.edgesUm.slice(0, -1).map(written)],
      [`diameter, upper edge ${head}`, ...known.edgesUm.slice(1).map(written)],
      ["volume %", ...percents(known, pen).map(n)],
    ]),
    truth: [known],
    quantity: "volume",
    answers: { edge: "both", values: "class", unit: "m" },
    states: ["edge", "quantity", "scale", "values", "unit"],
  };
};

/** Letters or numbers of the columns below the headings, and a row of units. */
const rowOfLetters: KindOf = (pen) => {
  const { draw, n } = pen;
  const known = one(pen);
  const [first = [], ...rows] = tableOf([
    ["lower edge", ...known.edgesUm.slice(0, -1).map((x) => n(size(x)))],
    ["upper edge", ...known.edgesUm.slice(1).map((x) => n(size(x)))],
    ["volume in class", ...percents(known, pen).map(n)],
    ["cumulative volume", ...under(known, pen).map(n)],
  ]);
  const letters = draw.pick([
    ["(1)", "(2)", "(3)", "(4)"],
    ["a", "b", "c", "d = Σ c"],
    ["1", "2", "3", "4"],
    ["x1", "x2", "p", "P"],
  ]);
  return {
    what: `row of letters ${letters.join(" ")}`,
    rows: [first, ["µm", "µm", "%", "%"], letters, ...rows],
    truth: [known],
    quantity: "volume",
    answers: { edge: "both", values: "class" },
    states: all,
  };
};

/** Sizes with one decimal mark and shares with the other, as pasted together. */
const twoMarks: KindOf = (pen) => {
  const { draw } = pen;
  const known = one(pen);
  const comma = (v: number) => String(v).replace(".", ",");
  const [left, right] = draw.chance(0.5) ? [comma, String] : [String, comma];
  return {
    what: "two decimal marks",
    rows: tableOf([
      ["lower edge µm", ...known.edgesUm.slice(0, -1).map((x) => left(size(x)))],
      ["upper edge µm", ...known.edgesUm.slice(1).map((x) => left(size(x)))],
      ["volume %", ...percents(known, pen).map(right)],
    ]),
    truth: [known],
    quantity: "volume",
    answers: { edge: "both", values: "class" },
    states: all,
    refusable: true,
  };
};

/** The sizes of a class as its middle and half its width. */
const middleAndHalf: KindOf = (pen) => {
  const { n } = pen;
  const known = one(pen);
  const sizes = known.edgesUm.slice(1).map((to, i) => {
    const from = known.edgesUm[i] ?? to;
    return `${n(size((from + to) / 2))} ± ${n(size((to - from) / 2))}`;
  });
  return {
    what: "middle ± half",
    rows: tableOf([
      ["size µm", ...sizes],
      ["volume %", ...percents(known, pen).map(n)],
    ]),
    truth: [known],
    quantity: "volume",
    answers: { edge: "both", values: "class" },
    states: [],
    refusable: true,
  };
};

/** Parts of a list across, a line of sizes and a line of shares in turn. */
const foldedAcross: KindOf = (pen) => {
  const { draw, n } = pen;
  const known = one(pen);
  const isCumulative = draw.chance(0.5);
  const upper = known.edgesUm.slice(1);
  const values = isCumulative ? under(known, pen) : percents(known, pen);
  const width = draw.pick([8, 10, 12]);
  const parts = Array.from({ length: Math.ceil(upper.length / width) }, (_, i) => i * width);
  const isApart = draw.chance(0.4);
  return {
    what: `folded across by ${width}, ${isCumulative ? "under" : "class"}`,
    rows: parts.flatMap((from) => [
      ["upper edge µm", ...upper.slice(from, from + width).map((x) => n(size(x)))],
      [isCumulative ? "volume undersize %" : "volume %", ...values.slice(from, from + width).map(n)],
      ...(isApart ? [[""]] : []),
    ]),
    truth: [known],
    quantity: "volume",
    answers: { edge: "upper", values: isCumulative ? "undersize" : "class", layout: "rows" },
    states: ["unit", "edge", "quantity", "scale", "values"],
    refusable: true,
  };
};

/** Between lines of signs, as a printer or a page of notes draws tables. */
const drawnLines: KindOf = (pen) => {
  const { draw, n } = pen;
  const known = one(pen);
  const rows = tableOf([...both(known.edgesUm, pen), ["volume %", ...percents(known, pen).map(n)]]);
  const [head = [], ...body] = rows;
  const line = head.map(() => draw.pick(["---", ":--", "======", "-----:"]));
  return {
    what: `line "${line[0]}" below the headings`,
    rows: [...(draw.chance(0.3) ? [line] : []), head, line, ...body, ...(draw.chance(0.5) ? [line] : [])],
    truth: [known],
    quantity: "volume",
    answers: { edge: "both", values: "class" },
    states: all,
  };
};

/** A word that is unknown and sums up, below the shares and before a figure. */
const unknownTotal: KindOf = (pen) => {
  const { draw, n } = pen;
  const known = one(pen);
  const isUpper = draw.chance(0.5);
  const word = draw.pick([
    "razem",
    "celkem",
    "yhteensä",
    "toplam",
    "összesen",
    "i alt",
    "всего",
    "סך הכל",
    "รวม",
    "Σ",
    "=",
    "OK",
  ]);
  const rows = tableOf([
    ...(isUpper ? both(known.edgesUm, pen).slice(1) : both(known.edgesUm, pen)),
    ["volume %", ...percents(known, pen).map(n)],
  ]);
  return {
    what: `"${word}" below, ${isUpper ? "upper" : "both"}`,
    rows: [...rows, isUpper ? [word, n(100)] : [word, "", n(100)]],
    truth: [known],
    quantity: "volume",
    answers: { edge: isUpper ? "upper" : "both", values: "class" },
    states: all,
  };
};

/** A note that gives another unit than the heading. */
const otherUnitNoted: KindOf = (pen) => {
  const { draw, n } = pen;
  const known = one(pen);
  const isHeadingRight = draw.chance(0.5);
  const times = isHeadingRight ? 1 : 1000;
  return {
    what: `heading µm, note nm, true ${isHeadingRight ? "heading" : "note"}`,
    rows: [
      [draw.pick(["all sizes in nm", "sizes in nm", "unit of size: nm"])],
      [""],
      ...tableOf([
        ["lower edge µm", ...known.edgesUm.slice(0, -1).map((x) => n(size(x * times)))],
        ["upper edge µm", ...known.edgesUm.slice(1).map((x) => n(size(x * times)))],
        ["volume %", ...percents(known, pen).map(n)],
      ]),
    ],
    truth: [known],
    quantity: "volume",
    answers: { edge: "both", values: "class", unit: isHeadingRight ? "um" : "nm" },
    states: ["edge", "quantity", "scale", "values"],
    mustAsk: "two units",
    hasNotes: true,
  };
};

/** The same unit in each cell, of sizes and of shares. */
const unitsInCells: KindOf = (pen) => {
  const { draw, n } = pen;
  const known = one(pen);
  const [unit, times] = draw.pick([
    ["µm", 1],
    ["nm", 1000],
    ["mm", 0.001],
    ["микрон", 1],
  ] as const);
  const join = draw.pick([" ", "", "\u00a0", "\u202f"]);
  const cell = (x: number) => `${n(size(x * times))}${join}${unit}`;
  return {
    what: `"${unit}" in each cell`,
    rows: tableOf([
      ["lower edge", ...known.edgesUm.slice(0, -1).map(cell)],
      ["upper edge", ...known.edgesUm.slice(1).map(cell)],
      ["volume", ...percents(known, pen).map((v) => `${n(v)}${join}%`)],
    ]),
    truth: [known],
    quantity: "volume",
    answers: { edge: "both", values: "class", unit: unit === "nm" || unit === "mm" ? unit : "um" },
    states: all,
  };
};

export const sheetKinds: readonly KindOf[] = [
  numberNames,
  namesAbove,
  sameNames,
  brokenHeadings,
  remarks,
  footnotes,
  turnedIntoDays,
  errors,
  otherDigits,
  powerOfTen,
  metres,
  rowOfLetters,
  twoMarks,
  middleAndHalf,
  foldedAcross,
  drawnLines,
  unknownTotal,
  otherUnitNoted,
  unitsInCells,
];
