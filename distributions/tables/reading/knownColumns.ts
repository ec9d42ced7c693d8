import { umPer } from "#distributions/tables/evidence/unitOfSizes.ts";
import { plainLetters } from "#distributions/tables/text/lexicon.ts";
import { foreignUnitIn, unitIn } from "#distributions/tables/text/units.ts";

/** Units of one kind: what a heading can write, and how many of the kept unit one of them is. */
type Units = readonly (readonly [RegExp, number])[];

const perHour: Units = [
  [/kg ?\/ ?(h|hr|hour|std)\b|kg per hour|kg ?h-1/, 1],
  [/kg ?\/ ?min/, 60],
  [/g ?\/ ?(h|hr|hour)\b/, 1e-3],
  [/g ?\/ ?min/, 0.06],
  [/g ?\/ ?s\b/, 3.6],
  [/t ?\/ ?h\b/, 1000],
  [/кг ?\/ ?ч/, 1],
  [/г ?\/ ?мин/, 0.06],
  [/г ?\/ ?ч/, 1e-3],
];
const lengths: Units = [
  [/(?:^|[^a-z])(?:um|µm|μm|microns?|мкм)(?![a-z])/, 1],
  [/(?:^|[^a-z])nm(?![a-z])/, 1e-3],
  [/(?:^|[^a-z])mm(?![a-z])/, 1e3],
];
const areas: Units = [
  [/c ?m(2|²|\^2) ?\/ ?g/, 1e-4],
  [/m(2|²|\^2) ?\/ ?kg/, 1e-3],
  [/m(2|²|\^2) ?\/ ?g/, 1],
  [/см(2|²) ?\/ ?г/, 1e-4],
  [/м(2|²) ?\/ ?г/, 1],
];
/** Conversions by definition; the pound per square inch and the cubic foot per minute as NIST SP 811, appendix B, has them. */
const families = {
  speed: [
    [/krpm|k ?r\/min|10(\^3|³|3) ?(rpm|\/ ?min)|1000 ?(rpm|\/ ?min)/, 1000],
    [
      /rpm|r\.p\.m|1 ?\/ ?min|min-1|min⁻¹|(?:^|[^a-z])(?:r|u|rev|tr|t|rot|giri|об)\.? ?\/ ?(?:min|мин)|回 ?\/ ?分|转 ?\/ ?分/,
      1,
    ],
    [/rps|1 ?\/ ?s\b|s-1|hz/, 60],
  ],
  flow: [
    [/m(3|³|\^3) ?\/ ?(h|hr|hour)\b|m(3|³) per hour|cbm\/h/, 1],
    [/m(3|³|\^3) ?\/ ?min/, 60],
    [/m(3|³|\^3) ?\/ ?s\b/, 3600],
    [/м(3|³) ?\/ ?ч/, 1],
    [/л ?\/ ?мин/, 0.06],
    [/\bcfm\b|ft(3|³) ?\/ ?min/, 1.699011],
    [/l ?\/ ?min/, 0.06],
    [/l ?\/ ?s\b/, 3.6],
  ],
  perHour,
  mass: [
    [/\bkg\b(?! ?\/)/, 1],
    [/\bg\b(?! ?\/)/, 1e-3],
  ],
  length: lengths,
  pressure: [
    [/mbar/, 1e-3],
    [/\bbar/, 1],
    [/mpa/, 10],
    [/kpa/, 0.01],
    [/psi/, 0.0689476],
  ],
  area: areas,
  density: [
    [/kg ?\/ ?m(3|³|\^3)/, 1e-3],
    [/g ?\/ ?c ?m(3|³|\^3)|g ?\/ ?cc|g ?\/ ?ml|kg ?\/ ?l\b/, 1],
  ],
} as const satisfies Readonly<Record<string, Units>>;

interface KnownColumn {
  readonly words: RegExp;
  readonly units: Units;
}

/** D50, x50, d(0.5), D(v,0.5), with more words beside it. */
const percentile = (percent: number, more = ""): RegExp =>
  new RegExp(`(?=.*(?:^|[^a-z])[dx][ (_,.v]*(?:(?:0[.,])?${percent}|0[.,]${percent / 10})(?![0-9]))${more}`);
/** What each column may be called; from common use, no source. */
const known: Readonly<Record<string, KnownColumn>> = {
  speedRpm: {
    words:
      /speed|rpm|drehzahl|vitesse|velocidad|velocita|revolutions|обороты|частота вращения|giri|rotacao|회전|回転|转速|轉速/,
    units: families.speed,
  },
  gasFlowM3PerH: {
    words:
      /\b(?:gas|air|luft|n2)\b(?=.*(?:(?:m3|m³|l) ?\/|cfm))|flow|luftmenge|volumenstrom|debit|caudal|air rate|gas rate|portata|vazao|расход (газа|воздуха)|유량|風量|风量|流量/,
    units: families.flow,
  },
  feedKgPerH: {
    words:
      /feed|aufgabe|alimentation|alimentacion|alimentazione|dosier|загрузка|питание|給料|供給|进料|给料|공급/,
    units: perHour,
  },
  productKgPerH: {
    words: /product|produkt|throughput|output|durchsatz|produit|producto|prodotto|продукт|製品|产量|생산/,
    units: perHour,
  },
  holdUpKg: { words: /hold ?-?up|inventory|mill load|content of the mill/, units: families.mass },
  pressureBar: {
    words: /pressure|druck|pression|presion|pressione|pressao|давление|圧力|压力|압력/,
    units: families.pressure,
  },
  geometricM2PerG: { words: /geometric|calculated|from sizes/, units: areas },
  betM2PerG: {
    words:
      /\bbet\b|specific surface|\bssa\b|gas adsorption|spez(?:ifische|\.)? oberflache|surface specifique|superficie especifica|удельная поверхность|比表面積|比表面积|비표면적/,
    units: areas,
  },
  densityGPerCm3: { words: /density|dichte|densite|densidad|плотность|密度|밀도/, units: families.density },
  d10Um: { words: percentile(10), units: lengths },
  d50Um: { words: percentile(50), units: lengths },
  d90Um: { words: percentile(90), units: lengths },
  d10MilledUm: { words: percentile(10, "(?=.*mill)"), units: lengths },
  d50MilledUm: { words: percentile(50, "(?=.*mill)"), units: lengths },
  d90MilledUm: { words: percentile(90, "(?=.*mill)"), units: lengths },
  d10RefiredUm: { words: percentile(10, "(?=.*re-? ?fire)"), units: lengths },
  d50RefiredUm: { words: percentile(50, "(?=.*re-? ?fire)"), units: lengths },
  d90RefiredUm: { words: percentile(90, "(?=.*re-? ?fire)"), units: lengths },
  lot: { words: /^(lot|batch|charge|los|lote|partia)\b/, units: [] },
  stage: { words: /^(stage|step|state)\b/, units: [] },
  instrument: { words: /^(instrument|analy[sz]er)\b/, units: [] },
  optics: { words: /^(optics|optical model)\b/, units: [] },
  dopantClass: { words: /^dopant/, units: [] },
  measuredOn: { words: /^(measured|date|day)\b/, units: [] },
};

/** Conditions under which a number is another than the one that is asked for, though the unit is the same. */
const otherwise = /\bn ?m(3|³|\^3)|\bnormal|\bstd\.? ?m|\bscfm|\babs(olute)?\b|\bnl ?\/|\bsl ?\//;

/** A heading that stands for a column, and what its numbers are times to be in the column's unit. */
export interface ColumnMatch {
  readonly column: number;
  readonly factor: number;
  /** Whether no unit is written, so that the column's own is taken. */
  readonly isUnitAssumed: boolean;
}

/** What a heading is for a column that its words speak of; null where they speak of something else. */
type Fit = { readonly factor: number; readonly isUnitAssumed: boolean } | "another unit" | null;

function fitOf({ words, units }: KnownColumn, heading: string): Fit {
  const letters = plainLetters(heading);
  if (!words.test(letters) || otherwise.test(letters)) return null;
  if (units.length === 0) return { factor: 1, isUnitAssumed: false };
  const factor = unitFactor(units, heading);
  if (factor !== null) return { factor, isUnitAssumed: false };
  const isOther = Object.values(families).some(
    (others) => others !== units && others.some(([pattern]) => pattern.test(letters)),
  );
  // A unit that is not known, or one of something else, must not pass for none.
  return isOther ||
    (units === lengths && foreignUnitIn(heading) !== null) ||
    /[([/]|\bin \S+$/.test(letters.replace(/[dx][ (_,.]*(0[.,])?\d+\)?/, ""))
    ? "another unit"
    : { factor: 1, isUnitAssumed: true };
}

/** What a number is times in the kept unit, where the text writes its unit; null where none of them stands there. */
function unitFactor(units: Units, text: string): number | null {
  const letters = plainLetters(text);
  const found = units.find(([pattern]) => pattern.test(letters));
  if (found !== undefined) return found[1];
  const length = units === lengths ? unitIn(text) : null;
  return length === null || length === "phi" || length === "mesh" ? null : umPer[length];
}

/**
 * The same for a unit behind a number, as in "6.2 krpm".
 * @returns null where the column has no such unit
 */
export function factorOf(name: string, unit: string): number | null {
  const wanted = known[name];
  return wanted === undefined ? null : unitFactor(wanted.units, ` ${unit}`);
}

/**
 * Which of the headings stands for a column: the name itself, else the one whose words and unit say so. Null where none
 * does, or where two do.
 *
 * @param name  as the files of docs/commands.md name it, with its unit
 */
export function matchOf(name: string, headings: readonly string[]): ColumnMatch | null {
  const exact = headings.findIndex((heading) => heading.toLowerCase() === name.toLowerCase());
  if (exact >= 0) return { column: exact, factor: 1, isUnitAssumed: false };
  const wanted = known[name];
  if (wanted === undefined) return null;
  const found = headings.flatMap((heading, column): ColumnMatch[] => {
    const fit = fitOf(wanted, heading);
    return fit === null || fit === "another unit" ? [] : [{ column, ...fit }];
  });
  return found.length === 1 ? (found[0] ?? null) : null;
}

/** Why no heading stands for a column although some speak of it, and what would help; "" where none does. */
export function whyNoMatch(name: string, headings: readonly string[]): string {
  const wanted = known[name];
  if (wanted === undefined) return "";
  const fits = headings.map((heading) => ({ heading, fit: fitOf(wanted, heading) }));
  const fitting = fits.filter(({ fit }) => fit !== null && fit !== "another unit");
  if (fitting.length > 1)
    return `${fitting.map(({ heading }) => `"${heading}"`).join(" and ")} could each be it: leave one, or name it ${name}.`;
  const other = fits.find(({ fit }) => fit === "another unit");
  return other === undefined
    ? ""
    : `"${other.heading}" speaks of it, but in a unit that is not known here: convert it, or name the column ${name}.`;
}
