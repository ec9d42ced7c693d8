import type { Quantity } from "#distributions/sizeDistribution.ts";
import type { Draw } from "../../distributions/tables/draw.ts";
import { type KnownPowder, undersizeOf } from "./powder.ts";
import type { HeadingWords } from "./words.ts";

/** A column as it is written: its heading, its cells, and what of a sum stands below it. */
export interface WrittenColumn {
  readonly head: string;
  readonly cells: readonly string[];
  readonly total: string;
  /** What stands above the heading, in a row of names. */
  readonly above?: string;
  /** Its unit, where units stand in a row of their own. */
  readonly unit?: string;
}

/** What the columns of values of each measurement are. */
export const bundles = [
  "class",
  "class",
  "class",
  "under",
  "under",
  "over",
  "class+under",
  "class+under",
  "class+over",
  "class+under+over",
  "under+over",
  "under+class",
  "density",
  "counts",
  "masses",
  "counts+class",
] as const;
export type Bundle = (typeof bundles)[number];

export interface Manner {
  readonly words: HeadingWords;
  readonly bundle: Bundle;
  readonly quantity: Quantity;
  readonly saysQuantity: boolean;
  /** Where the quantity is stated, the word for it. */
  readonly quantityWord: string;
  readonly saysKind: boolean;
  readonly isPercent: boolean;
  readonly saysScale: boolean;
  readonly decimals: number;
  readonly mark: "." | ",";
  /** How nothing is written where a class holds nothing. */
  readonly nothing: string;
  /** What stands behind a value, such as a per cent sign or a ±. */
  readonly behind: (value: string, draw: Draw) => string;
  readonly isNamed: boolean;
  /** Whether the sizes beside the values are lower edges. */
  readonly isAtLower: boolean;
  /** By how much the shares miss their whole, as some sum to 99.2 %. */
  readonly lack: number;
  /** Where the sample's name stands in a heading; above it in a row of its own, where several columns have one. */
  readonly nameIn: "front" | "end" | "brackets" | "row above";
  readonly digits: Digits;
}

/** How figures are written: as short as they go, with all their decimals, or with an exponent. */
export type Digits = "short" | "fixed" | "exponent";

export function numberText(value: number, mark: "." | ","): string {
  const text = String(value);
  const plain = /e/i.test(text) ? value.toFixed(12).replace(/0+$/, "") : text;
  return mark === "," ? plain.replace(".", ",") : plain;
}

/** The columns of one measurement; classes first where they are, each of the same curve. */
export function valueColumns(known: KnownPowder, manner: Manner, draw: Draw): WrittenColumn[] {
  const { bundle, words, isPercent } = manner;
  const kinds = bundle === "counts" || bundle === "masses" ? [bundle] : bundle.split("+");
  const whole = isPercent ? 100 : 1;
  const round = (v: number) => Number(v.toFixed(manner.decimals + (isPercent ? 0 : 2)));
  const decimals = manner.decimals + (isPercent ? 0 : 2);
  const isShare = !["counts", "masses", "density"].some((kind) => kinds.includes(kind));
  const write = (v: number, isZeroMarked: boolean) =>
    v === 0 && isZeroMarked
      ? manner.nothing
      : manner.behind(writtenAs(v, isShare ? manner.digits : "short", decimals, manner.mark), draw);
  // Undersize stands at the size of its row: at a lower edge without the class's own share.
  const all = undersizeOf(known);
  const sums = manner.isAtLower ? all.slice(0, -1) : all.slice(1);
  const isLone = kinds.length === 1;
  return kinds.map((kind): WrittenColumn => {
    const column = (
      kindWord: string,
      values: readonly number[],
      unit: string,
      total: string,
    ): WrittenColumn => {
      const spoken = manner.saysKind || !isLone ? kindWord : "";
      return {
        ...headOf(manner, known.name, [manner.saysQuantity ? manner.quantityWord : "", spoken, unit]),
        cells: values.map((v) => write(v, kind === "class" || kind === "counts")),
        total,
      };
    };
    const scale = manner.saysScale ? (isPercent ? "%" : "") : "";
    if (kind === "under")
      return column(
        draw.pick(words.under),
        sums.map((q) => round(whole * q)),
        scale,
        "",
      );
    if (kind === "over")
      return column(
        draw.pick(words.over),
        sums.map((q) => round(whole * (1 - q))),
        scale,
        "",
      );
    if (kind === "counts") {
      const counts = known.shares.map((v) => Math.round(100_000 * v));
      return column(
        "",
        counts,
        manner.saysScale || manner.saysKind ? countWord(manner) : "",
        String(counts.reduce((a, b) => a + b, 0)),
      );
    }
    if (kind === "masses")
      return column(
        "",
        known.shares.map((v) => Number((83 * v).toFixed(5))),
        manner.saysScale || manner.saysKind ? "g" : "",
        "83",
      );
    if (kind === "density") {
      const per = known.shares.map(
        (v, i) => v / Math.log10((known.edgesUm[i + 1] ?? 1) / (known.edgesUm[i] ?? 1)),
      );
      return column(
        "per decade",
        per.map((v) => Number((whole * v).toPrecision(6))),
        "",
        "",
      );
    }
    const values = known.shares.map((v) => round(whole * v * (1 - manner.lack)));
    return column(
      draw.pick(words.inClass),
      values,
      scale,
      numberText(Number((whole * (1 - manner.lack)).toFixed(3)), manner.mark),
    );
  });
}

function writtenAs(value: number, digits: Digits, decimals: number, mark: "." | ","): string {
  if (digits === "fixed" && decimals > 0) return value.toFixed(decimals).replace(".", mark);
  if (digits === "exponent" && value !== 0) return value.toExponential(6).replace(".", mark);
  return numberText(value, mark);
}

/** A heading with the sample's name where it stands. */
function headOf(
  manner: Manner,
  name: string,
  words: readonly string[],
): Pick<WrittenColumn, "head" | "above"> {
  const said = words.filter((word) => word !== "").join(" ");
  if (!manner.isNamed) return { head: said };
  if (manner.nameIn === "row above" && said !== "") return { head: said, above: name };
  if (manner.nameIn === "end") return { head: `${said} ${name}`.trim() };
  if (manner.nameIn === "brackets" && said !== "") return { head: `${name} (${said})` };
  return { head: `${name} ${said}`.trim() };
}

function countWord({ words, quantity }: Manner): string {
  return quantity === "number" ? "" : `(${words.quantity.number[0] ?? "counts"})`;
}

/** Two edges in one cell: with a sign between them, or as a pattern of "from" and "to". */
function rangeText(from: string, to: string, dash: string): string {
  if (dash === "-+") return `-${to}+${from}`;
  return dash.includes("{from}") ? dash.replace("{from}", from).replace("{to}", to) : `${from}${dash}${to}`;
}

/** How the sizes of the classes are written. */
export const sizeForms = [
  "upper",
  "upper",
  "lower",
  "both",
  "both",
  "range",
  "range",
  "mid",
  "both+mid",
] as const;
export type SizeForm = (typeof sizeForms)[number];

export const dashes = [
  "-",
  "–",
  " - ",
  " – ",
  "—",
  " to ",
  "…",
  "..",
  "~",
  " bis ",
  " ~ ",
  "～",
  " à ",
  "−",
  "-+",
  " < x < ",
  " ÷ ",
] as const;

export interface SizeManner {
  readonly words: HeadingWords;
  readonly form: SizeForm;
  readonly saysSize: boolean;
  readonly saysEdge: boolean;
  /** How the unit stands behind the heading, "" where it stands elsewhere. */
  readonly unit: string;
  readonly perUm: number;
  readonly mark: "." | ",";
  readonly dash: string;
  /** Whether the outermost ranges are open, as "<0.5" and ">80". */
  readonly isOpen: boolean;
  /** A unit behind each size, by its size in µm; null where the cells have none. */
  readonly unitOf: ((um: number) => { readonly word: string; readonly perUm: number }) | null;
}

export function sizeColumns(edgesUm: readonly number[], manner: SizeManner, draw: Draw): WrittenColumn[] {
  const { words, form, mark, dash } = manner;
  const write = (um: number) => {
    const own = manner.unitOf?.(um) ?? null;
    const text = numberText(Number((um * (own?.perUm ?? manner.perUm)).toPrecision(6)), mark);
    return own === null || own.word === "" ? text : `${text} ${own.word}`;
  };
  const head = (word: string) => [word, manner.unit].filter((p) => p !== "").join(" ");
  const lower = edgesUm.slice(0, -1);
  const upper = edgesUm.slice(1);
  const size = manner.saysSize ? draw.pick(words.size) : "";
  const list = (word: string, sizes: readonly number[]): WrittenColumn => ({
    head: head(word),
    cells: sizes.map(write),
    total: "",
  });
  const mids = lower.map((x, i) => Math.sqrt(x * (upper[i] ?? x)));
  if (form === "range")
    return [
      {
        head: head(size),
        cells: lower.map((x, i) => {
          const to = write(upper[i] ?? x);
          if (manner.isOpen && i === 0) return `<${to}`;
          if (manner.isOpen && i === lower.length - 1) return `>${write(x)}`;
          return rangeText(write(x), to, dash);
        }),
        total: "",
      },
    ];
  if (form === "mid") return [list(draw.pick(words.mid), mids)];
  if (form === "upper") return [list(manner.saysEdge ? draw.pick(words.upper) : size, upper)];
  if (form === "lower") return [list(manner.saysEdge ? draw.pick(words.lower) : size, lower)];
  const both = [
    list(manner.saysEdge ? draw.pick(words.lower) : size, lower),
    list(manner.saysEdge ? draw.pick(words.upper) : size, upper),
  ];
  return form === "both" ? both : [...both.slice(0, 1), list(draw.pick(words.mid), mids), ...both.slice(1)];
}
