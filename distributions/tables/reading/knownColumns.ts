import { plainLetters } from "#distributions/tables/text/lexicon.ts";

/** Units of one kind: what a heading can write, and how many of the kept unit one of them is. */
type Units = readonly (readonly [RegExp, number])[];

const perHour: Units = [
  [/kg ?\/ ?(h|hr|hour|std)\b|kg per hour|kg ?h-1/, 1],
  [/kg ?\/ ?min/, 60],
  [/g ?\/ ?(h|hr|hour)\b/, 1e-3],
  [/g ?\/ ?min/, 0.06],
  [/g ?\/ ?s\b/, 3.6],
  [/t ?\/ ?h\b/, 1000],
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
];
/** Conversions by definition; the pound per square inch as NIST SP 811, appendix B, has it. */
const families = {
  speed: [
    [/rpm|r\/min|1 ?\/ ?min|min-1|u\/min|rev\/min/, 1],
    [/rps|1 ?\/ ?s\b|s-1|hz/, 60],
  ],
  flow: [
    [/m(3|³|\^3) ?\/ ?(h|hr|hour)\b|m(3|³) per hour|cbm\/h/, 1],
    [/m(3|³|\^3) ?\/ ?min/, 60],
    [/m(3|³|\^3) ?\/ ?s\b/, 3600],
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
    words: /speed|rpm|drehzahl|vitesse|velocidad|velocita|revolutions|回転|转速/,
    units: families.speed,
  },
  gasFlowM3PerH: {
    words: /flow|luftmenge|volumenstrom|debit|caudal|air rate|gas rate|風量|风量/,
    units: families.flow,
  },
  feedKgPerH: { words: /feed|aufgabe|alimentation|alimentacion|dosier/, units: perHour },
  productKgPerH: { words: /product|throughput|output|durchsatz|produit|producto/, units: perHour },
  holdUpKg: { words: /hold ?-?up|inventory|mill load|content of the mill/, units: families.mass },
  pressureBar: { words: /pressure|druck|pression|presion/, units: families.pressure },
  geometricM2PerG: { words: /geometric|calculated|from sizes/, units: areas },
  betM2PerG: { words: /\bbet\b|specific surface|\bssa\b|gas adsorption/, units: areas },
  densityGPerCm3: { words: /density|dichte|densite|densidad/, units: families.density },
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
    const letters = plainLetters(heading);
    if (!wanted.words.test(letters) || otherwise.test(letters)) return [];
    if (wanted.units.length === 0) return [{ column, factor: 1, isUnitAssumed: false }];
    const isOther = Object.values(families).some(
      (units) => units !== wanted.units && units.some(([pattern]) => pattern.test(letters)),
    );
    const unit = wanted.units.find(([pattern]) => pattern.test(letters));
    if (unit !== undefined) return [{ column, factor: unit[1], isUnitAssumed: false }];
    // A unit that is not known, or one of something else, must not pass for none.
    return isOther || /[([/]|\bin \S+$/.test(letters.replace(/[dx][ (_,.]*(0[.,])?\d+\)?/, ""))
      ? []
      : [{ column, factor: 1, isUnitAssumed: true }];
  });
  return found.length === 1 ? (found[0] ?? null) : null;
}
