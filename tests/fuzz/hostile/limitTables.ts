import { type Draw, drawFrom } from "../../distributions/tables/draw.ts";

/** A customer's limits in some shape and language, with the truth in µm and m²/g. */
export interface LimitTable {
  readonly seed: number;
  readonly text: string;
  readonly limits: readonly KnownLimit[];
}

interface KnownLimit {
  readonly limit: "d10Um" | "d50Um" | "d90Um" | "BET";
  readonly low: number | null;
  readonly high: number | null;
}

// Words and names as people write them; common practice, no source.
const names = {
  d10Um: ["D10", "x10", "d(0.1)", "D(v,0.1)", "Dv10", "d 10", "D[v, 0.1]"],
  d50Um: ["D50", "x50", "d(0.5)", "D(v,0.5)", "d50", "D 50", "X50"],
  d90Um: ["D90", "x90", "d(0.9)", "Dv90", "d90", "D[0.9]"],
  BET: [
    "BET",
    "SSA",
    "BET area",
    "specific surface",
    "比表面積",
    "Spezifische Oberfläche",
    "surface spécifique",
  ],
} as const;
const headings = [
  ["min", "max"],
  ["lower", "upper"],
  ["untere Grenze", "obere Grenze"],
  ["Minimum", "Maximum"],
  ["mínimo", "máximo"],
  ["límite inferior", "límite superior"],
  ["limite inférieure", "limite supérieure"],
  ["minimo", "massimo"],
  ["下限", "上限"],
  ["最小", "最大"],
  ["최소", "최대"],
  ["하한", "상한"],
  ["мин.", "макс."],
  ["нижний предел", "верхний предел"],
  ["mín.", "máx."],
  ["LSL", "USL"],
] as const;
const firsts = [
  "Parameter",
  "Kennwert",
  "Property",
  "項目",
  "Показатель",
  "propriété",
  "Merkmal",
  "항목",
  "参数",
];
const ranges: readonly ((low: string, high: string) => string)[] = [
  (low, high) => `${low} - ${high}`,
  (low, high) => `${low}–${high}`,
  (low, high) => `from ${low} to ${high}`,
  (low, high) => `von ${low} bis ${high}`,
  (low, high) => `de ${low} à ${high}`,
  (low, high) => `entre ${low} y ${high}`,
  (low, high) => `tra ${low} e ${high}`,
  (low, high) => `от ${low} до ${high}`,
  (low, high) => `${low} ~ ${high}`,
  (low, high) => `${low} 〜 ${high}`,
  (low, high) => `${low} 以上 ${high} 以下`,
  (low, high) => `${low} 이상 ${high} 이하`,
  (low, high) => `min ${low} max ${high}`,
  (low, high) => `≥ ${low}, ≤ ${high}`,
  (low, high) => `zwischen ${low} und ${high}`,
  (low, high) => `${low} ... ${high}`,
  (low, high) => `${low} ${high}`,
];
const atMost = ["≤ ", "max. ", "höchstens ", "au plus ", "не более ", "up to ", "< ", "al massimo ", "最大 "];
const atLeast = [
  "≥ ",
  "min. ",
  "mindestens ",
  "au moins ",
  "не менее ",
  "at least ",
  "> ",
  "almeno ",
  "最小 ",
];
const lengths = [
  ["µm", 1],
  ["um", 1],
  ["nm", 1000],
  ["mm", 1e-3],
  ["", 1],
] as const;
const areas = [
  ["m²/g", 1],
  ["m2/g", 1],
  ["cm²/g", 1e4],
  ["", 1],
] as const;

/** The limits of one seed: lines, a table down or across, or a middle with a tolerance. */
export function limitTableOf(seed: number): LimitTable {
  const draw = drawFrom(seed + 95_000_000);
  const mark = draw.pick([".", ","] as const);
  const [unit, times] = draw.pick(lengths);
  const [area, areaTimes] = draw.pick(areas);
  const limits = limitsDrawn(draw);
  const written = (value: number, isBet: boolean) =>
    String(Number((value * (isBet ? areaTimes : times)).toPrecision(8))).replace(".", mark);
  const unitOf = ({ limit }: KnownLimit) => (limit === "BET" ? area : unit);
  const nameOf = ({ limit }: KnownLimit) => draw.pick(names[limit]);
  const number = (one: KnownLimit, side: "low" | "high") => {
    const value = one[side];
    return value === null ? "" : written(value, one.limit === "BET");
  };
  const shape = draw.pick(["lines", "lines", "down", "down", "across", "tolerance"] as const);
  if (shape === "lines") {
    const lines = limits.map((one) => {
      const [low, high] = [number(one, "low"), number(one, "high")];
      const said =
        high === ""
          ? draw.pick(atLeast) + low
          : low === ""
            ? draw.pick(atMost) + high
            : draw.pick(ranges)(low, high);
      return `${nameOf(one)}${draw.pick([" ", ": ", ", ", " = "])}${said} ${unitOf(one)}`.trim();
    });
    return { seed, limits, text: lines.join("\n") };
  }
  const separator = draw.pick(mark === "," ? ["\t", ";"] : ["\t", ";", ","]);
  if (shape === "tolerance") {
    const both = limits.filter(({ low, high }) => low !== null && high !== null);
    const rows = both.map((one) => {
      const [low, high] = [one.low ?? 0, one.high ?? 0];
      const isBet = one.limit === "BET";
      return [nameOf(one), written((low + high) / 2, isBet), written((high - low) / 2, isBet), unitOf(one)];
    });
    const head = [
      draw.pick(firsts),
      draw.pick(["Soll", "target", "目標", "objetivo"]),
      draw.pick(["Toleranz", "tolerance", "公差", "±", "допуск", "tolerancia"]),
      "",
    ];
    return { seed, limits: both, text: textOf([head, ...rows], separator) };
  }
  const [low, high] = draw.pick(headings);
  const rows = limits.map((one) => [nameOf(one), number(one, "low"), number(one, "high"), unitOf(one)]);
  if (shape === "down")
    return {
      seed,
      limits,
      text: textOf(
        [[draw.pick(firsts), low, high, draw.pick(["unit", "Einheit", "単位"])], ...rows],
        separator,
      ),
    };
  const head = rows.map(([name = "", , , of = ""]) => (of === "" ? name : `${name} (${of})`));
  const across = [
    ["", ...head],
    [low, ...rows.map((row) => row[1] ?? "")],
    [high, ...rows.map((row) => row[2] ?? "")],
  ];
  return { seed, limits, text: textOf(across, draw.pick(["\t", ";"])) };
}

function textOf(rows: readonly (readonly string[])[], separator: string): string {
  const quoted = (cell: string) => (separator === "," && cell.includes(",") ? `"${cell}"` : cell);
  return rows.map((row) => row.map(quoted).join(separator)).join("\n");
}

function limitsDrawn(draw: Draw): KnownLimit[] {
  const three = (value: number) => Number(value.toPrecision(3));
  const d50 = 1 + 8 * draw.unit();
  const around = (limit: KnownLimit["limit"], middle: number): KnownLimit => {
    const side = draw.whole(0, 3);
    return {
      limit,
      low: side === 1 ? null : three(middle * (0.8 + 0.15 * draw.unit())),
      high: side === 2 ? null : three(middle * (1.05 + 0.2 * draw.unit())),
    };
  };
  const all = [
    around("d10Um", 0.45 * d50),
    around("d50Um", d50),
    around("d90Um", 2 * d50),
    around("BET", 0.5 + draw.unit()),
  ];
  const kept = all.filter(({ limit }) => limit === "d50Um" || draw.chance(0.7));
  return kept;
}

/**
 * Limits that are read otherwise than they were written; null where each is right, or refused or left open with a word.
 */
export function wrongInLimits(
  { limits }: LimitTable,
  read: {
    readonly band: {
      readonly rows: readonly {
        readonly limit: string;
        readonly low: number | null;
        readonly high: number | null;
      }[];
      readonly betM2PerG?: { readonly low: number | null; readonly high: number | null };
    } | null;
    readonly problems: readonly unknown[];
    readonly open: readonly string[];
  },
): string | null {
  const bet = read.band?.betM2PerG;
  const found = [...(read.band?.rows ?? []), ...(bet === undefined ? [] : [{ limit: "BET", ...bet }])];
  const isSame = (a: number | null, b: number | null) =>
    a === null || b === null ? a === b : Math.abs(a / b - 1) < 2e-3;
  for (const { limit, low, high } of found) {
    const known = limits.find((one) => one.limit === limit);
    if (known === undefined || !isSame(known.low, low) || !isSame(known.high, high))
      return `${limit} ${low}…${high} for ${known?.low}…${known?.high}`;
  }
  const missing = limits.length - found.length;
  return missing > 0 &&
    read.problems.length === 0 &&
    !read.open.some((line) => /without a tolerance/.test(line))
    ? `${missing} limits were left out without a word`
    : null;
}
