import type { Quantity } from "#distributions/sizeDistribution.ts";
import type { Draw } from "../../distributions/tables/draw.ts";
import type { Arrangement } from "./arrange.ts";
import { type Bundle, bundles, type Manner, type SizeForm, type SizeManner, sizeForms } from "./columns.ts";
import { languages, unitWords } from "./words.ts";

const quantities = ["volume", "volume", "volume", "number", "surface", "length"] as const;

/** Everything that is drawn before a cell is written. */
export function drawn(draw: Draw) {
  const words = draw.chance(0.45) ? draw.pick(languages.slice(0, 1)) : draw.pick(languages);
  const isInvented = draw.chance(0.08);
  const bundle: Bundle = draw.pick(bundles);
  const form = formFor(bundle, draw);
  const layout = layoutFor(bundle, form, draw);
  const isAmount = bundle.startsWith("counts") || bundle === "masses";
  const quantity: Quantity = bundle.startsWith("counts")
    ? "number"
    : isAmount
      ? "volume"
      : draw.pick(quantities);
  return { words, isInvented, bundle, form, layout, isAmount, quantity };
}

function formFor(bundle: Bundle, draw: Draw): SizeForm {
  if (bundle === "density") return draw.pick(["both", "range"]);
  if (bundle === "over") return "upper";
  if (bundle === "under" || bundle === "under+over") return draw.pick(["upper", "both", "range"]);
  if (bundle.includes("over")) return draw.pick(["upper", "both", "range"]);
  return draw.pick(sizeForms);
}

function layoutFor(bundle: Bundle, form: SizeForm, draw: Draw): Arrangement {
  const isLone = !bundle.includes("+");
  const isPlain = form !== "both+mid";
  return draw.pick([
    "down",
    "down",
    "down",
    "down",
    ...(isLone && isPlain && bundle !== "density" ? (["across", "long"] as const) : []),
    ...(isPlain ? (["folded", "paged", "beside", "stacked", "reversed"] as const) : []),
  ]);
}

export function behindFor(bundle: Bundle, isPercent: boolean, mark: "." | ",", draw: Draw): Manner["behind"] {
  const plain = (value: string) => value;
  if (bundle !== "class" || draw.chance(0.8)) return plain;
  const way = draw.pick(["percent", "plus", "brackets"] as const);
  if (way === "percent" && !isPercent) return plain;
  if (way === "percent") return (value) => `${value}${draw.chance(0.5) ? "%" : " %"}`;
  const small = mark === "," ? "0,02" : "0.02";
  return way === "plus" ? (value) => `${value} ± ${small}` : (value) => `${value}(4)`;
}

/** How figures are written and where the names of samples stand. */
export function writingFor(layout: Arrangement, draw: Draw): Pick<Manner, "nameIn" | "digits"> {
  const hasRows = layout !== "across" && layout !== "long";
  const nameIn = draw.chance(0.7)
    ? "front"
    : draw.pick(["end", "brackets", ...(hasRows ? (["row above"] as const) : [])] as const);
  return { nameIn, digits: draw.chance(0.8) ? "short" : draw.pick(["fixed", "exponent"]) };
}

/** Open ranges at the ends, and units behind the sizes themselves. */
export function openingFor(
  form: SizeForm,
  table: {
    readonly unit: "um" | "nm" | "mm";
    readonly unitIn: "heading" | "note";
    readonly isForeign: boolean;
    readonly isCumulative: boolean;
  },
  draw: Draw,
): Pick<SizeManner, "isOpen" | "unitOf"> {
  const isOpen = form === "range" && !table.isCumulative && draw.chance(0.2);
  const hasUnits = table.unitIn === "heading" && !table.isForeign && draw.chance(0.08);
  if (!hasUnits) return { isOpen, unitOf: null };
  const [um, nm, mm] = [draw.pick(unitWords.um.slice(0, 3)), "nm", "mm"];
  if (draw.chance(0.5)) {
    const word = { um, nm, mm }[table.unit];
    const perUm = { um: 1, nm: 1000, mm: 0.001 }[table.unit];
    return { isOpen, unitOf: () => ({ word, perUm }) };
  }
  return { isOpen, unitOf: (size) => (size < 1 ? { word: nm, perUm: 1000 } : { word: um, perUm: 1 }) };
}
