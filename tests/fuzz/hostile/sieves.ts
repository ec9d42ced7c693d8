import { type Draw, drawFrom } from "../../distributions/tables/draw.ts";
import { numberText } from "./columns.ts";
import type { Hostile } from "./hostile.ts";
import type { KnownPowder } from "./powder.ts";

/** Apertures in µm. Source: ISO 3310-1, principal sizes R 20/3. */
const apertures = [45, 63, 90, 125, 180, 250, 355, 500, 710, 1000, 1400, 2000, 2800] as const;

/** What stands where the pan's aperture would: words that readers know, words that none does, signs, and nothing. */
const pans = [
  "pan",
  "Pan",
  "bottom",
  "receiver",
  "Boden",
  "Schale",
  "fond",
  "fondo",
  "поддон",
  "受皿",
  "底盘",
  "받침",
  "0",
  "tray",
  "catcher",
  "Teller",
  "P",
  "dish",
  "Blindboden",
  "last",
  "-",
  "—",
  "*",
  "(pan)",
  "Pan (fines)",
  "FINE",
] as const;

interface StackWords {
  readonly size: string;
  readonly mass: string;
  readonly share: string;
  readonly passing: string;
  readonly residue: string;
  readonly empty: string;
  readonly loaded: string;
}

/** Headings of sieve tables; common use in each language, no source. */
const languages: readonly StackWords[] = [
  {
    size: "aperture",
    mass: "mass retained",
    share: "retained",
    passing: "cumulative passing",
    residue: "cumulative retained",
    empty: "empty",
    loaded: "loaded",
  },
  {
    size: "sieve",
    mass: "mass on sieve",
    share: "mass",
    passing: "mass passing",
    residue: "mass oversize",
    empty: "tare mass",
    loaded: "gross mass",
  },
  {
    size: "Maschenweite",
    mass: "Masse",
    share: "Massenanteil",
    passing: "Durchgang Masse",
    residue: "Rückstandssumme Masse",
    empty: "Sieb leer",
    loaded: "Sieb voll",
  },
  {
    size: "ouverture",
    mass: "masse retenue",
    share: "masse",
    passing: "passant masse",
    residue: "refus cumulé masse",
    empty: "tamis vide",
    loaded: "tamis plein",
  },
  {
    size: "abertura de malla",
    mass: "masa retenida",
    share: "masa",
    passing: "pasante masa",
    residue: "rechazo acumulado masa",
    empty: "tamiz vacío",
    loaded: "tamiz lleno",
  },
  {
    size: "размер ячейки",
    mass: "масса",
    share: "выход масса",
    passing: "проход масса",
    residue: "остаток накопленный масса",
    empty: "сито пустое",
    loaded: "сито полное",
  },
  {
    size: "目開き",
    mass: "質量",
    share: "質量 頻度",
    passing: "質量 ふるい下",
    residue: "質量 ふるい上 積算",
    empty: "空",
    loaded: "充填",
  },
];

type Weighed = "mass" | "share" | "passing" | "residue" | "empty and loaded";

/** A stack of sieves with its pan, written as laboratories write it. */
export function sieveStackOf(seed: number): Hostile {
  const draw = drawFrom(seed + 55_000_000);
  const words = draw.chance(0.4) ? (languages[0] ?? draw.pick(languages)) : draw.pick(languages);
  const weighed: Weighed = draw.pick(["mass", "mass", "share", "passing", "residue", "empty and loaded"]);
  const [separator, mark] = draw.pick([
    [",", "."],
    [";", ","],
    ["\t", "."],
  ] as const);
  const first = draw.whole(0, 4);
  const sieves = apertures.slice(first, first + draw.whole(5, 8));
  // In thousandths of the whole, pan first; nothing above the coarsest sieve in most.
  const onSieves = sieves.map((_, i) => draw.whole(20, 60) * Math.min(i + 1, sieves.length - i));
  const top = draw.chance(0.7) ? 0 : 12;
  const raw = [draw.whole(5, 20), ...onSieves.slice(0, -1), top];
  const whole = raw.reduce((a, b) => a + b, 0);
  const parts = raw.map((v) => Math.round((1000 * v) / whole));
  const most = parts.indexOf(Math.max(...parts));
  parts[most] = (parts[most] ?? 0) + 1000 - parts.reduce((a, b) => a + b, 0);
  const pan = draw.pick(pans);
  const isMm = draw.chance(0.4);
  const unit = isMm ? "mm" : "µm";
  const sizeTexts = [pan, ...sieves.map((x) => numberText(isMm ? x / 1000 : x, mark))];
  const columns = valuesOf(weighed, parts, words, draw).map(({ head, values }) => ({
    head,
    cells: values.map((v) => (v === null ? "" : numberText(Number(v.toFixed(4)), mark))),
  }));
  const rows = sizeTexts.map((size, i) => [size, ...columns.map((c) => c.cells[i] ?? "")].join(separator));
  const isCoarseFirst = draw.chance(0.75);
  const lines = [
    [`${words.size} ${unit}`, ...columns.map((c) => c.head)].join(separator),
    ...(isCoarseFirst ? rows.toReversed() : rows),
    ...(isCoarseFirst && (weighed === "mass" || weighed === "share") && draw.chance(0.4)
      ? [totalOf(columns, mark, draw).join(separator)]
      : []),
  ];
  const known: KnownPowder = {
    name: "",
    edgesUm: [(sieves[0] ?? 1) / 1000, ...sieves, 2 * (sieves.at(-1) ?? 1)],
    shares: parts.map((v) => v / 1000),
  };
  const isAmount = weighed === "mass" || weighed === "empty and loaded";
  return {
    seed,
    what: `sieve stack, ${words.size}, ${weighed}, pan "${pan}", ${separator}${mark}`,
    table: `${lines.join("\n")}\n`,
    separator,
    mark,
    file: "sieve.csv",
    truth: [known],
    quantity: "volume",
    isNamed: false,
    answers: {
      edge: "lower",
      values: weighed === "passing" ? "undersize" : weighed === "residue" ? "oversize" : "class",
      scale: isAmount ? "amount" : "percent",
      quantity: "volume",
      unit: isMm ? "mm" : "um",
      decimal: mark === "," ? "comma" : "point",
      empty: "zero",
      sum: "divide",
      layout: "columns",
      pan: "pan",
    },
    states: new Set(["unit", "layout", "decimal"]),
    refusable: false,
    mustAsk: null,
  };
}

/** What went in or came out, under words that readers know and that none does. */
function totalOf(
  columns: readonly { readonly cells: readonly string[] }[],
  mark: "." | ",",
  draw: Draw,
): string[] {
  const sum = (cells: readonly string[]) =>
    cells.reduce((all, text) => all + Number(text.replace(",", ".")), 0);
  const word = draw.pick(["total", "Summe", "charged", "Einwaage", "out", "合計", ""]);
  return [word, ...columns.map(({ cells }) => numberText(Number(sum(cells).toFixed(4)), mark))];
}

interface StackColumn {
  readonly head: string;
  readonly values: readonly (number | null)[];
}

/** @param parts  thousandths of the whole: the pan's, then one a sieve, finest first */
function valuesOf(weighed: Weighed, parts: readonly number[], words: StackWords, draw: Draw): StackColumn[] {
  const below = parts.map((_, i) => parts.slice(0, i).reduce((a, b) => a + b, 0));
  switch (weighed) {
    case "mass": {
      const grams = draw.pick([50, 100, 250]);
      return [{ head: `${words.mass} g`, values: parts.map((v) => (grams * v) / 1000) }];
    }
    case "share":
      return [{ head: `${words.share} %`, values: parts.map((v) => v / 10) }];
    case "passing":
      // What passes a sieve lies below it; nothing passes the pan.
      return [{ head: `${words.passing} %`, values: below.map((q) => q / 10) }];
    case "residue":
      return [{ head: `${words.residue} %`, values: below.map((q) => (1000 - q) / 10) }];
    case "empty and loaded": {
      const empty = parts.map(() => Number((380 + 60 * draw.unit()).toFixed(1)));
      return [
        { head: `${words.empty} g`, values: empty },
        { head: `${words.loaded} g`, values: parts.map((v, i) => (empty[i] ?? 0) + v / 10) },
      ];
    }
  }
}
