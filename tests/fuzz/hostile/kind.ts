import type { Quantity } from "#distributions/sizeDistribution.ts";
import type { Draw } from "../../distributions/tables/draw.ts";
import { numberText } from "./columns.ts";
import type { Hostile } from "./hostile.ts";
import { type KnownPowder, undersizeOf } from "./powder.ts";

/** What one kind of table needs beyond what all share. */
export interface TableOfKind {
  readonly what: string;
  readonly rows: readonly (readonly string[])[];
  readonly truth: readonly KnownPowder[];
  readonly quantity: Quantity;
  readonly answers: Readonly<Record<string, string>>;
  /** What the table states or its numbers prove. */
  readonly states: readonly string[];
  readonly isNamed?: boolean;
  /** Whether refusing it is right too; so it is where nothing of it is a size distribution. */
  readonly refusable?: boolean;
  /** Why it must not be read without a question. */
  readonly mustAsk?: string;
  /** Where its notes stand in lines of their own already, and no others may. */
  readonly hasNotes?: boolean;
}

/** How the numbers of a table are written, and the words of one language or of none. */
export interface Pen {
  readonly draw: Draw;
  readonly mark: "." | ",";
  /** A number as it stands. */
  readonly n: (value: number) => string;
  readonly decimals: number;
}

export type KindOf = (pen: Pen) => TableOfKind;

export const percents = (known: KnownPowder, { decimals }: Pen, whole = 100) =>
  known.shares.map((v) =>
    Number((whole * v).toFixed(decimals + (whole === 1 ? 2 : whole === 1000 ? -1 : 0))),
  );
export const under = (known: KnownPowder, { decimals }: Pen, whole = 100) =>
  undersizeOf(known)
    .slice(1)
    .map((q) => Number((whole * q).toFixed(decimals + (whole === 1000 ? -1 : 0))));
export const size = (um: number, digits = 6) => Number(um.toPrecision(digits));
export const phiOf = (um: number) => Number((Math.log2(1000) - Math.log2(um)).toFixed(6));

export function tableOf(columns: readonly (readonly string[])[]): string[][] {
  return (columns[0] ?? []).map((_, i) => columns.map((column) => column[i] ?? ""));
}

/** Draws one of the kinds and writes it with lines around it, or none. */
export function tableOfKind(
  seed: number,
  draw: Draw,
  { kind, noteLines }: { readonly kind: KindOf; readonly noteLines: readonly string[] },
): Hostile {
  const [separator, mark] = draw.pick([
    [",", "."],
    [";", "."],
    [";", ","],
    ["\t", "."],
    ["\t", ","],
  ] as const);
  const pen: Pen = { draw, mark, n: (value) => numberText(value, mark), decimals: draw.pick([3, 4]) };
  const { what, rows, truth, quantity, answers, states, isNamed = false, ...more } = kind(pen);
  const isNoted = more.hasNotes !== true && draw.chance(0.5);
  const notes = Array.from({ length: isNoted ? draw.whole(1, 3) : 0 }, () => draw.pick(noteLines));
  const quoted = (text: string) =>
    text.includes(separator) || /["\n]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text;
  const lines = [...notes.map((line) => [line]), ...(notes.length > 0 ? [[""]] : []), ...rows].map((row) =>
    row.map(quoted).join(separator),
  );
  return {
    seed,
    what: `${what}, ${separator}${mark}`,
    table: `${lines.join("\n")}\n`,
    file: draw.pick(["lot.csv", "number 7.csv", "export.txt"]),
    separator,
    mark,
    truth,
    quantity,
    isNamed,
    answers: {
      scale: "percent",
      quantity,
      unit: "um",
      decimal: mark === "," ? "comma" : "point",
      empty: "zero",
      sum: "divide",
      layout: "columns",
      ...answers,
    },
    states: new Set([...states, "empty", "layout"]),
    refusable: more.refusable === true,
    mustAsk: more.mustAsk ?? null,
  };
}
