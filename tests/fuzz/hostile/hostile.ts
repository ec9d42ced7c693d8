import type { Quantity } from "#distributions/sizeDistribution.ts";
import { drawFrom } from "../../distributions/tables/draw.ts";
import { arranged } from "./arrange.ts";
import { dashes, type Manner } from "./columns.ts";
import { behindFor, drawn, openingFor, writingFor } from "./drawn.ts";
import { distractorOf, quantityNote, unitNote } from "./notes.ts";
import { edgesOf, type KnownPowder, powderIn } from "./powder.ts";
import { foreignUnits, inventedWords, plainNames, trickyNames, unitWords } from "./words.ts";

/** A table that no reader likes, with what it holds and what a person who knows it would answer. */
export interface Hostile {
  readonly seed: number;
  readonly what: string;
  readonly table: string;
  readonly file: string;
  /** What stands between its fields, and its decimal mark. */
  readonly separator: string;
  readonly mark: "." | ",";
  readonly truth: readonly KnownPowder[];
  readonly quantity: Quantity;
  readonly isNamed: boolean;
  readonly answers: Readonly<Record<string, string>>;
  /** What the table states or its numbers prove, so that asking for it is needless. */
  readonly states: ReadonlySet<string>;
  /** Whether refusing it, or leaving something unread, is right too. */
  readonly refusable: boolean;
  /** What must be asked, because words contradict each other or a unit is not known. */
  readonly mustAsk: string | null;
}

/** The same with sizes below 1 µm in nm and the others in µm, and no word for it; in one stretch, since a page broken there shows no step. */
export function steppedOf(seed: number): Hostile {
  const table = hostileOf(seed, { isStepped: true });
  return /, (folded|paged|beside|across), /.test(table.what) ? steppedOf(seed + 1_000_000) : table;
}

/** What a table is drawn from, where not from the usual words. */
export interface HostileWays {
  /** Sizes below 1 µm in nm and the others in µm, and no word for it. */
  readonly isStepped?: boolean;
  readonly names?: readonly string[];
  readonly dashes?: readonly string[];
  readonly nothings?: readonly string[];
  readonly noteLines?: readonly string[];
}

/** The table of one seed: the same one each time. */
export function hostileOf(seed: number, ways: HostileWays = {}): Hostile {
  const isStepped = ways.isStepped === true;
  const draw = drawFrom(seed + 77_000_000);
  const { words, isInvented, bundle, form, layout, isAmount, quantity } = drawn(draw);
  const [separator, mark] = draw.pick([
    [",", "."],
    [";", "."],
    [";", ","],
    ["\t", "."],
    ["\t", ","],
  ] as const);
  const decimals = draw.pick([3, 4]);
  const count = layout === "folded" || layout === "paged" ? draw.whole(1, 2) : draw.whole(1, 3);
  const isTricky = draw.chance(0.35);
  const isNamed = count > 1 || draw.chance(0.4);
  const base = edgesOf(draw, form === "mid", isStepped);
  const truth = Array.from({ length: count }, (_, i): KnownPowder => {
    const edges =
      layout === "beside" || layout === "stacked"
        ? i === 0
          ? base
          : edgesOf(draw, form === "mid", isStepped)
        : base;
    const name = `${draw.pick(ways.names ?? (isTricky ? trickyNames : plainNames))}${count > 1 ? ` ${"ABC"[i]}` : ""}`;
    return powderIn(draw, edges, name, decimals);
  });
  const unit = isStepped ? "nm" : draw.pick(["um", "um", "um", "nm", "mm"] as const);
  const isForeign = !isStepped && draw.chance(0.04);
  const saysUnit = !isStepped && (unit !== "um" || isForeign || draw.chance(0.85));
  const unitWord = isForeign ? draw.pick(foreignUnits) : draw.pick(unitWords[unit]);
  const unitIn = isForeign ? "heading" : draw.pick(["heading", "heading", "heading", "note"] as const);
  const isOwnWord = isInvented && words.language === "English";
  const saysQuantity = draw.chance(0.75);
  const quantityIn = draw.pick(["heading", "heading", "note"] as const);
  const isContradicted = saysQuantity && quantityIn === "heading" && !isAmount && draw.chance(0.04);
  const other = quantity === "volume" ? "number" : "volume";
  const isPercent = draw.chance(0.8);
  const manner: Manner = {
    words: isOwnWord
      ? { ...words, inClass: inventedWords, under: inventedWords, over: inventedWords }
      : words,
    bundle,
    quantity,
    saysQuantity: saysQuantity && quantityIn === "heading",
    quantityWord: draw.pick(words.quantity[quantity].filter((w) => !isAmount || w !== "vol")),
    saysKind: draw.chance(0.7),
    isPercent,
    saysScale: draw.chance(0.8),
    decimals,
    mark,
    nothing: draw.chance(0.7)
      ? "0"
      : draw.pick(ways.nothings ?? ["", "-", "n.d.", "–", "BDL", "nd", "n/a", "<0.01", "*", "--"]),
    behind: behindFor(bundle, isPercent, mark, draw),
    isNamed,
    isAtLower: form === "lower",
    lack: bundle === "class" && draw.chance(0.06) ? draw.pick([0.008, -0.008, 0.004]) : 0,
    ...writingFor(layout, draw),
  };
  const saysEdge = draw.chance(0.6) || (form === "both" && draw.chance(0.7)) || form.includes("mid");
  const hasNothing = manner.nothing !== "0";
  const unitSign = draw.pick([unitWord, `(${unitWord})`, `[${unitWord}]`, `/ ${unitWord}`, `in ${unitWord}`]);
  const sizes = {
    words: isOwnWord ? { ...words, size: inventedWords } : words,
    form,
    saysSize: draw.chance(0.9),
    saysEdge:
      saysEdge && bundle !== "over" && (form !== "upper" || !bundle.startsWith("under") || draw.chance(0.3)),
    unit: saysUnit && unitIn === "heading" ? unitSign : "",
    perUm: unit === "nm" ? 1000 : unit === "mm" ? 0.001 : 1,
    mark,
    dash: draw.pick(ways.dashes ?? dashes),
    ...openingFor(form, { unit, unitIn, isForeign, isCumulative: bundle !== "class" }, draw),
    ...(isStepped ? { unitOf: (um: number) => ({ word: "", perUm: um < 1 ? 1000 : 1 }) } : {}),
  };
  const notes = Array.from({ length: draw.chance(0.5) ? draw.whole(1, 6) : 0 }, () =>
    ways.noteLines === undefined ? distractorOf(draw) : draw.pick(ways.noteLines),
  );
  if (saysUnit && unitIn === "note") notes.push(unitNote(draw, unitWord));
  if (saysQuantity && quantityIn === "note") notes.push(quantityNote(draw, quantity));
  if (isContradicted) notes.push(quantityNote(draw, other));
  const isInRows = layout === "long" && saysQuantity && draw.chance(0.3);
  const quantityInRows = isInRows ? manner.quantityWord : "";
  const body = arranged({
    layout,
    truth,
    manner: isInRows ? { ...manner, saysQuantity: false } : manner,
    sizes,
    separator,
    notes,
    quantityInRows,
    draw,
  });
  const edge =
    form === "mid" ? "geometric-mid" : form === "lower" ? "lower" : form === "upper" ? "upper" : "both";
  const kind = bundle.split("+")[0];
  const values =
    kind === "under"
      ? "undersize"
      : kind === "over"
        ? "oversize"
        : kind === "density"
          ? "density-decade"
          : "class";
  const isCumulative = kind === "under" || kind === "over";
  // "Class centre" does not say which mean of the edges it is.
  const isEdgeShown =
    (sizes.saysEdge && form !== "mid") ||
    form.startsWith("both") ||
    form === "range" ||
    (isCumulative && !bundle.includes("class"));
  const isUnitOdd = isForeign;
  // Before a name, or a word that no list holds, a word of quantity or "g" may be part of a name.
  const isBeforeName = isNamed && manner.nameIn === "end";
  const isMaybeName = quantityIn === "heading" && (isOwnWord || isBeforeName);
  return {
    seed,
    what: [
      words.language,
      isOwnWord ? "own words" : "",
      layout,
      form,
      bundle,
      quantity,
      unitWord,
      separator + mark,
      `nothing "${manner.nothing}"`,
    ]
      .filter((part) => part !== "")
      .join(", "),
    table: body,
    separator,
    mark,
    file: draw.pick(["lot.csv", "number 7.csv", "YG volume 3.txt", "oversize.csv", "cumulative.tsv"]),
    truth,
    quantity,
    isNamed: isNamed && !(layout === "long" && count === 1),
    answers: {
      edge,
      values: isAmount && !bundle.includes("+") ? "class" : values,
      scale:
        bundle === "counts" || bundle === "masses" ? "amount" : manner.isPercent ? "percent" : "fraction",
      quantity,
      unit,
      decimal: mark === "," ? "comma" : "point",
      empty: "zero",
      sum: "divide",
      layout: layout === "across" ? "rows" : layout === "long" ? "long" : "columns",
    },
    states: new Set([
      ...(isEdgeShown ? ["edge"] : []),
      ...(saysQuantity && !isContradicted && !isMaybeName ? ["quantity"] : []),
      ...(saysUnit && !isForeign ? ["unit"] : []),
      ...(bundle === "counts" ||
      (bundle === "masses" && (isBeforeName || (!manner.saysScale && !manner.saysKind)))
        ? []
        : ["scale"]),
      ...(manner.saysKind || bundle === "class" ? ["values"] : []),
      ...(hasNothing ? [] : ["empty"]),
      "layout",
    ]),
    refusable: isUnitOdd,
    mustAsk: isStepped
      ? "a change of unit without a word"
      : isContradicted
        ? "two words for the quantity"
        : isUnitOdd
          ? "a unit that is not known"
          : null,
  };
}
