import type { ReadingOptions } from "#distributions/tables/text/readingOptions.ts";
import { type Draw, drawFrom } from "./draw.ts";
import { powderFrom, type TestPowder } from "./powders.ts";

/** A table in a layout drawn by chance, with what a person who knows it would answer and what it holds. */
export interface Layout {
  readonly bytes: Uint8Array;
  readonly text: string;
  /** The answers to the two questions a table may leave open. */
  readonly answers: ReadingOptions;
  readonly powders: readonly (TestPowder & { readonly name: string })[];
  readonly quantity: keyof typeof quantityWords;
  /** Whether each measurement is headed by its powder's name. */
  readonly isNamed: boolean;
  /** The end edge that a table of upper or lower edges does not tell; the reader says what it takes. */
  readonly untold: "first" | "last" | null;
  readonly shape: string;
}

const shapes = [
  "edges",
  "ranges",
  "upper",
  "lower",
  "closed lower",
  "mid",
  "undersize",
  "oversize",
  "density",
  "rows",
  "range rows",
  "long",
  "sieve",
  "stacked",
  "beside",
  "edges beside",
] as const;
type LayoutShape = (typeof shapes)[number];

const separators = [
  [",", "."],
  [";", "."],
  [";", ","],
  ["\t", "."],
  ["\t", ","],
  ["|", "."],
  ["  ", "."],
  [",", '"'],
] as const;

const quantityWords = {
  volume: ["volume", "vol", "mass", "Volume", "weight"],
  number: ["number", "Number"],
  surface: ["surface", "area"],
  length: ["length"],
} as const;

/** The layout of one seed: the same one each time. */
export function layoutOf(seed: number): Layout {
  const draw = drawFrom(seed);
  const shape: LayoutShape = draw.pick(shapes);
  const quantity =
    shape === "sieve"
      ? "volume"
      : draw.pick(["volume", "volume", "volume", "number", "surface", "length"] as const);
  const unit = draw.pick(["um", "um", "um", "µm", "micron", "nm", "mm", "phi"] as const);
  const isPhi = unit === "phi" && (shape === "undersize" || shape === "oversize");
  const [separator, mark] = draw.pick(separators);
  const words = new Words(draw, {
    shape,
    quantity,
    unit: unit === "phi" && !isPhi ? "um" : unit,
    mark,
    separator,
    mess: messOf(drawFrom(seed + 1e6)),
  });
  const count = shape === "sieve" ? 1 : draw.whole(1, 5);
  const base = powderFrom(draw, shape === "mid");
  // Blanks cannot show that a cell is empty: tables side by side are as long as each other there.
  const hasOwnEdges = shape.endsWith("beside") && separator !== "  ";
  const powders = Array.from({ length: count }, (_, i) =>
    i === 0 ? base : powderFrom(draw, shape === "mid", hasOwnEdges ? undefined : base.edgesUm),
  );
  const named = powders.map((powder, i) => ({
    ...powder,
    name: `${draw.pick(["run", "host", "garnet", "bag"])} ${i + 1}`,
  }));
  const body = words.table(named);
  const text = `${words.preamble()}${body.replaceAll("\n", draw.pick(["\n", "\r\n"]))}${words.postamble()}`;
  const answers: ReadingOptions = {
    ...(words.saysQuantity ? {} : { quantity }),
    ...(words.saysEdge ? {} : { edge: words.edge }),
  };
  return {
    bytes: encoded(text, draw),
    text,
    answers,
    powders: named,
    quantity,
    // One sample in a long table goes by the heading of its values.
    isNamed: shape !== "sieve" && !(shape === "long" && count === 1),
    untold: shape === "upper" ? "first" : shape === "lower" ? "last" : null,
    shape: `${shape} ${separator} ${mark} ${unit}`,
  };
}

function encoded(text: string, draw: Draw): Uint8Array {
  const kind = draw.pick(["utf-8", "utf-8", "utf-8 mark", "utf-16", "utf-16 mark", "latin"] as const);
  if (kind === "utf-8") return new TextEncoder().encode(text);
  if (kind === "utf-8 mark") return new TextEncoder().encode(`\ufeff${text}`);
  if (kind === "latin")
    return new Uint8Array([...text].map((c) => (c === "–" ? 0x96 : c.charCodeAt(0) & 255)));
  const wide = [...text].flatMap((c) => [c.charCodeAt(0) & 255, c.charCodeAt(0) >> 8]);
  return new Uint8Array(kind === "utf-16" ? wide : [255, 254, ...wide]);
}

/** What else people leave in a table, which is no part of it. */
interface Mess {
  readonly counterHead: string | null;
  readonly hasRemarks: boolean;
  readonly hasTotal: boolean;
  readonly hasMean: boolean;
  readonly hasMids: boolean;
  readonly hasSums: boolean;
  /** What stands in the middle of the table. */
  readonly between: "nothing" | "blank line" | "heading" | "page";
}

function messOf(draw: Draw): Mess {
  return {
    counterHead: draw.chance(0.15) ? draw.pick(["no", "#", "class", ""]) : null,
    hasRemarks: draw.chance(0.15),
    hasTotal: draw.chance(0.2),
    hasMean: draw.chance(0.25),
    hasMids: draw.chance(0.15),
    hasSums: draw.chance(0.25),
    between: draw.chance(0.6) ? "nothing" : draw.pick(["blank line", "heading", "page"] as const),
  };
}

/** Writes powders as a table, with words, marks and order drawn by chance. */
class Words {
  readonly saysQuantity: boolean;
  readonly saysEdge: boolean;
  readonly edge: "upper" | "lower";
  readonly #draw: Draw;
  readonly #how: {
    shape: LayoutShape;
    quantity: keyof typeof quantityWords;
    unit: string;
    mark: string;
    separator: string;
    mess: Mess;
  };
  readonly #isPercent: boolean;
  readonly #saysScale: boolean;
  readonly #falls: boolean;
  readonly #quantityWord: string;

  constructor(draw: Draw, how: Words["how"]) {
    this.#draw = draw;
    this.#how = how;
    this.#isPercent = draw.chance(0.8);
    this.#saysScale = draw.chance(0.85);
    this.#falls = draw.chance(0.25);
    this.saysQuantity = how.shape === "sieve" || draw.chance(0.7);
    const asksEdge = how.shape === "upper" || how.shape === "lower";
    this.edge = how.shape === "lower" || how.shape === "closed lower" ? "lower" : "upper";
    // A blank beside nothing found may be a share of its own: then the edge is asked.
    this.saysEdge = (!asksEdge || draw.chance(0.6)) && how.shape !== "closed lower";
    this.#quantityWord = draw.pick(quantityWords[how.quantity]);
  }

  get how() {
    return this.#how;
  }

  preamble(): string {
    const draw = this.#draw;
    const line = (key: string, value: string) =>
      `${key}${draw.pick([": ", "\t", " = ", this.#how.separator])}${value}\n`;
    if (draw.chance(0.45)) return "";
    const lines = [
      line("operator", "one"),
      line("dispersant", "water"),
      line("date", "2026-03-04"),
      line("ultrasound", "low power for 60 s"),
      line("refractive index", this.#number(1.83)),
      line("obscuration", `${this.#number(12.5)} %`),
      line("lot", "YG-07"),
      line("D50", this.#number(3.1)),
    ].filter(() => draw.chance(0.5));
    return lines.join("") + (draw.chance(0.5) ? "\n" : "");
  }

  postamble(): string {
    return this.#draw.chance(0.2)
      ? `\n${this.#draw.pick(["end of table", "page 1 of 1", "measured twice"])}\n`
      : "";
  }

  table(powders: readonly (TestPowder & { name: string })[]): string {
    const { shape } = this.#how;
    if (shape === "stacked") return powders.map((p) => this.#columns([p], "edges")).join("\n");
    if (shape === "beside" || shape === "edges beside") return this.#beside(powders, shape);
    if (shape === "rows" || shape === "range rows") return this.#rows(powders);
    if (shape === "long") return this.#long(powders);
    if (shape === "sieve") return this.#sieve(powders[0]);
    return this.#columns(powders, shape);
  }

  /** Words of a value column: the name, the quantity, what the values are, and their scale. */
  #heading(name: string, kind: string): string {
    const scale = this.#saysScale ? (this.#isPercent ? this.#draw.pick(["%", "percent"]) : "fraction") : "";
    const parts = [name, this.saysQuantity ? this.#quantityWord : "", kind, scale].filter(
      (part) => part !== "",
    );
    return parts.join(" ");
  }

  #unit(): string {
    const { unit } = this.#how;
    return this.#draw.pick([` ${unit}`, ` (${unit})`, ` [${unit}]`, `_${unit}`]);
  }

  #columns(powders: readonly (TestPowder & { name: string })[], shape: string): string {
    const edges = powders[0]?.edgesUm ?? [];
    const lower = edges.slice(0, -1);
    const upper = edges.slice(1);
    const unit = this.#unit();
    const cumulative = shape === "undersize" || shape === "oversize";
    const kind = cumulative
      ? this.#draw.pick(
          shape === "undersize"
            ? ["undersize", "cumulative", "passing", "finer"]
            : ["oversize", "cumulative retained", "coarser"],
        )
      : shape === "density"
        ? "per ln size"
        : "";
    const sizeLists =
      shape === "edges"
        ? [
            { head: `${this.#draw.pick(["lower", "from", "size low"])}${unit}`, sizes: lower },
            { head: `${this.#draw.pick(["upper", "to", "size high"])}${unit}`, sizes: upper },
          ]
        : shape === "ranges"
          ? []
          : cumulative || shape === "closed lower"
            ? [{ head: `${this.#draw.pick(["size", "diameter", "x"])}${unit}`, sizes: edges }]
            : shape === "mid"
              ? [{ head: `geometric mid${unit}`, sizes: lower.map((x, i) => Math.sqrt(x * (upper[i] ?? x))) }]
              : [
                  {
                    head: `${this.saysEdge ? (this.edge === "upper" ? "upper size" : "lower size") : "size"}${unit}`,
                    sizes: this.edge === "upper" || shape === "density" ? upper : lower,
                  },
                ];
    if (shape === "density")
      sizeLists.splice(0, 1, { head: `lower${unit}`, sizes: lower }, { head: `upper${unit}`, sizes: upper });
    const ranges =
      shape === "ranges"
        ? [
            lower.map((x, i) =>
              this.#range(
                x,
                upper[i] ?? x,
                this.#draw.pick(this.#how.separator === "  " ? ["–", "-"] : [" - ", "–", "-"]),
              ),
            ),
          ]
        : [];
    const heads = [
      ...sizeLists.map((s) => s.head),
      ...(shape === "ranges" ? [`class${unit}`] : []),
      ...powders.map((p) => this.#heading(p.name, kind)),
    ];
    const columns = [
      ...sizeLists.map((s) => s.sizes.map((x) => this.#size(x))),
      ...ranges,
      ...powders.map((p) => this.#values(p, shape).map((v) => this.#number(v))),
    ];
    const isWhole = ["edges", "ranges", "mid"].includes(shape);
    const { hasMids, hasSums } = this.#how.mess;
    if (hasMids && shape === "edges" && this.#how.separator !== "  ") {
      const at = this.#draw.whole(1, 2);
      heads.splice(at, 0, `mid${unit}`);
      columns.splice(
        at,
        0,
        lower.map((x, i) => this.#size(Math.sqrt(x * (upper[i] ?? x)))),
      );
    }
    const [first, second] = powders;
    if (hasSums && isWhole && first !== undefined && second === undefined) {
      heads.push(this.#heading("", "cumulative"));
      columns.push(
        this.#values(first, "undersize")
          .slice(1)
          .map((v) => this.#number(v)),
      );
    }
    if (this.#how.mess.hasMean && isWhole && powders.length > 2) {
      const all = powders.map((p) => this.#values(p, shape));
      const mean = (all[0] ?? []).map((_, i) => all.reduce((sum, v) => sum + (v[i] ?? 0), 0) / all.length);
      heads.push("mean");
      columns.push(mean.map((v) => this.#number(Number(v.toFixed(5)))));
    }
    const total = isWhole
      ? heads.map((_, c) => (c === 0 ? "Total" : c < columns.length - 1 ? "" : "100"))
      : null;
    return this.#messy(heads, columns, sizeLists[0]?.sizes.length ?? lower.length, total);
  }

  #values(p: TestPowder, shape: string): number[] {
    const whole = this.#isPercent ? 100 : 1;
    const digits = this.#isPercent ? 3 : 5;
    const sums = p.edgesUm.map((_, i) => p.shares.slice(0, i).reduce((a, b) => a + b, 0));
    const values =
      shape === "undersize" || shape === "beside"
        ? sums
        : shape === "oversize"
          ? sums.map((q) => 1 - q)
          : shape === "density"
            ? p.shares.map((v, i) => v / Math.log((p.edgesUm[i + 1] ?? 1) / (p.edgesUm[i] ?? 1)))
            : p.shares;
    return values.map((v) => Math.abs(Number((whole * v).toFixed(digits))));
  }

  #beside(powders: readonly (TestPowder & { name: string })[], shape: "beside" | "edges beside"): string {
    const unit = this.#unit();
    const sizes = shape === "beside" ? [`size${unit}`] : [`lower${unit}`, `upper${unit}`];
    // Sizes may go by their powder's name too.
    const isOwn = shape === "beside" && this.#draw.chance(0.4) && this.#how.separator !== "  ";
    const heads = powders.flatMap((p) => [
      ...sizes.map((head) => (isOwn ? `${p.name} ${head}` : head)),
      this.#heading(p.name, shape === "beside" ? "undersize" : ""),
    ]);
    const columns = powders.flatMap(({ edgesUm, ...p }) => [
      ...(shape === "beside" ? [edgesUm] : [edgesUm.slice(0, -1), edgesUm.slice(1)]).map((list) =>
        list.map((x) => this.#size(x)),
      ),
      this.#values({ edgesUm, ...p }, shape).map((v) => this.#number(v)),
    ]);
    // Falling sizes fall from the first row too, where one table is shorter.
    const written = this.#falls ? columns.map((column) => column.toReversed()) : columns;
    return this.#lines(heads, written, Math.max(...columns.map((column) => column.length)), true);
  }

  #rows(powders: readonly (TestPowder & { name: string })[]): string {
    const { separator, shape } = this.#how;
    const edges = powders[0]?.edgesUm ?? [];
    const isRange = shape === "range rows";
    const sizes = isRange
      ? edges.slice(0, -1).map((x, i) => this.#range(x, edges[i + 1] ?? x, "-"))
      : edges.map((x) => this.#size(x));
    const note = this.saysQuantity
      ? `shares by ${this.#quantityWord}${this.#saysScale ? (this.#isPercent ? " in %" : " as fractions") : ""}\n`
      : "";
    const rows = powders.map((p) =>
      [p.name, ...this.#values(p, isRange ? "edges" : "undersize").map((v) => this.#number(v))].join(
        separator,
      ),
    );
    return `${note}${[`size in ${this.#how.unit}`.replaceAll(" ", separator === "  " ? "_" : " "), ...sizes].join(separator)}\n${rows.map((r) => (separator === "  " ? r.replace(/^(\w+) (\d)/, "$1_$2") : r)).join("\n")}\n`;
  }

  #long(powders: readonly (TestPowder & { name: string })[]): string {
    const { separator } = this.#how;
    const name = (text: string) => (separator === "  " ? text.replaceAll(" ", "_") : text);
    const rows = powders.flatMap((p) =>
      this.#values(p, "undersize").map((v, i) =>
        [name(p.name), this.#size(p.edgesUm[i] ?? 0), this.#number(v)].join(separator),
      ),
    );
    const heads = ["sample", `size${this.#unit()}`, this.#heading("", "undersize")].map(name);
    return `${heads.join(separator)}\n${rows.join("\n")}\n`;
  }

  #sieve(p: TestPowder | undefined): string {
    if (p === undefined) return "";
    const apertures = p.edgesUm.slice(0, -1).toReversed();
    const grams = p.shares.map((v) => Number((80 * v).toFixed(3))).toReversed();
    const top = this.#size(p.edgesUm.at(-1) ?? 0);
    return this.#lines(
      [`aperture${this.#unit()}`, "retained g"],
      [
        [top, ...apertures.map((x) => this.#size(x)), "pan"],
        [this.#number(0), ...grams.map((v) => this.#number(v)), this.#number(0)],
      ],
      apertures.length + 2,
      true,
    );
  }

  /** A table of columns with what people leave in it. */
  #messy(
    heads: readonly string[],
    columns: readonly (readonly string[])[],
    count: number,
    total: readonly string[] | null,
  ): string {
    const { separator, mess } = this.#how;
    const order = Array.from({ length: count }, (_, i) => (this.#falls ? count - 1 - i : i));
    const isApart = separator !== "  ";
    const before = mess.counterHead !== null && isApart ? [mess.counterHead] : [];
    const behind = mess.hasRemarks ? ["remark"] : [];
    const rows = order.map((from, i) =>
      [
        ...before.map(() => String(i + 1)),
        ...columns.map((column) => column[from] ?? ""),
        ...behind.map(() => (i % 3 === 0 ? "fine" : "usual")),
      ].join(separator),
    );
    const head = [...before, ...heads, ...behind].join(separator);
    const middle = Math.floor(count / 2);
    const between = { nothing: [], "blank line": [""], heading: [head], page: ["page 1 of 2", head] }[
      mess.between
    ];
    const last =
      mess.hasTotal && total !== null && isApart ? [[...before.map(() => ""), ...total].join(separator)] : [];
    const lines = [head, ...rows.slice(0, middle), ...between, ...rows.slice(middle), ...last];
    const outer = separator === "|" && this.#draw.chance(0.5) ? "|" : "";
    return `${lines.map((row) => (row === "" ? row : `${outer}${row}${outer}`)).join("\n")}\n`;
  }

  #lines(
    heads: readonly string[],
    columns: readonly (readonly string[])[],
    count: number,
    keepOrder = false,
  ): string {
    const { separator } = this.#how;
    const rows = Array.from({ length: count }, (_, i) =>
      columns.map((column) => column[i] ?? "").join(separator),
    );
    if (this.#falls && !keepOrder) rows.reverse();
    const head = heads.map((h) => (separator === "  " ? h : h)).join(separator);
    const outer = separator === "|" && this.#draw.chance(0.5) ? "|" : "";
    return `${[head, ...rows].map((row) => `${outer}${row}${outer}`).join("\n")}\n`;
  }

  #range(from: number, to: number, between: string): string {
    const text = `${this.#size(from)}${between}${this.#size(to)}`;
    return text.startsWith('"') ? `"${text.replaceAll('"', "")}"` : text;
  }

  #size(um: number): string {
    const { unit } = this.#how;
    const value =
      unit === "nm" ? um * 1000 : unit === "mm" ? um / 1000 : unit === "phi" ? -Math.log2(um / 1000) : um;
    return this.#number(Number(value.toPrecision(6)));
  }

  #number(value: number): string {
    const { mark } = this.#how;
    const text = String(value);
    if (mark === ".") return text;
    return mark === "," ? text.replace(".", ",") : `"${text.replace(".", ",")}"`;
  }
}
