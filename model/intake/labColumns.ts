import { matchOf } from "#distributions/tables/reading/knownColumns.ts";
import type { Stage } from "#model/lot/stages.ts";
import { betResult } from "#model/surface/bet.ts";
import { type StageWords, unaccented } from "./stageWords.ts";

/** What a column of a laboratory's own table may be. */
export const columnUses = [
  "lot",
  "material",
  "stage",
  "date",
  "date made",
  "file",
  "mass in",
  "mass out",
  "note",
  "setting",
  "result",
  "uncertainty",
  "left out",
] as const;
export type ColumnUse = (typeof columnUses)[number];

/** A column as it is taken; "open" where its heading says nothing that is known, until a person says what it is. */
export interface LabColumn {
  readonly heading: string;
  readonly as: ColumnUse | "open";
  /** Of a setting or a result, and of the result that an uncertainty belongs to. */
  readonly name: string;
  readonly unit: string;
  /** The stage that the heading names, or that such a setting is usually of; null where the row says it, or nothing does. */
  readonly stage: Stage | null;
  /** Whether the heading itself names the stage, or says that it is of the whole lot. */
  readonly isStageNamed: boolean;
  /** Numbers are times this to be in the unit. */
  readonly factor: number;
  /** Whether cells are taken as they stand. */
  readonly isWord: boolean;
}

/** What a person says of a column. */
export interface ColumnSaid {
  readonly as: ColumnUse;
  readonly name?: string | undefined;
  readonly unit?: string | undefined;
  readonly stage?: Stage | null | undefined;
}

/** What stands in a heading for values of the lot as a whole. */
export const wholeLot = "whole lot";

/** The first headings of a copy; parted by tabs they tell it from tables of elsewhere. */
export const copyHeadings = ["Lot", "Material", "Date made", "Date"] as const;
export const copyBegins = copyHeadings.join("\t");

/** What tables of laboratories call these columns, without accents; common practice, no source. */
const places: readonly (readonly [Exclude<ColumnUse, "setting" | "result" | "uncertainty">, RegExp])[] = [
  ["date made", /^(?:date made|made(?: on)?|produced(?: on)?|herstell|production date|fecha de produccion)/],
  ["date", /^(?:date|day|datum|fecha|data|jour|tag|measured(?: on)?|日付|日期|дата)(?![a-z])/],
  [
    "material",
    /^(?:material|powder|product|produkt|grade|werkstoff|stoff|matiere|produit|материал|材料)(?![a-z])/,
  ],
  ["stage", /^(?:stage|step|state|stufe|schritt|etape|etapa|fase|工程|стадия)(?![a-z])/],
  ["file", /^(?:file|datei|fichier|archivo|curve|curve file|psd file|raw data)(?![a-z])/],
  [
    "mass in",
    /(?:^|[^a-z])(?:mass in|weighed in|weight in|charge mass|einwaage|input mass|feed mass|mass before|pesee entree)(?![a-z])/,
  ],
  [
    "mass out",
    /(?:^|[^a-z])(?:mass out|weighed out|weight out|auswaage|output mass|product mass|mass after|pesee sortie)(?![a-z])/,
  ],
  [
    "note",
    /^(?:note|notes|remark|remarks|comment|comments|bemerkung|kommentar|remarque|observaciones|備考|备注)/,
  ],
  [
    "lot",
    /^(?:lot|batch|charge|los|lote|lotto|partia|sarze|sample|probe|echantillon|muestra|ロット|批号|批次|партия)(?![a-z])/,
  ],
];

interface KnownValue {
  readonly as: "setting" | "result";
  readonly name: string;
  readonly words: RegExp;
  /** Where no other is written. */
  readonly unit: string;
  readonly stage?: Stage;
  readonly isWord?: boolean;
}

/** Settings and results by their words, without accents; common practice, no source. */
const values: readonly KnownValue[] = [
  {
    as: "setting",
    name: "heating rate",
    words: /heating rate|ramp|aufheiz|rampe/,
    unit: "K/min",
    stage: "fired",
  },
  {
    as: "setting",
    name: "temperature",
    words: /temp|(?:^|[^a-z])t\s*[([/,]\s*(?:°|k)|°c|温度|температура/,
    unit: "°C",
    stage: "fired",
  },
  { as: "setting", name: "atmosphere", words: /atmosph|ofengas/, unit: "", stage: "fired", isWord: true },
  {
    as: "setting",
    name: "time",
    words: /(?:^|[^a-z])(?:time|dwell|hold|holding|soak|zeit|haltezeit|duree|temps|tiempo)|時間|时间|время/,
    unit: "h",
    stage: "fired",
  },
  { as: "setting", name: "excess", words: /excess|uberschuss|exces/, unit: "%", stage: "precursor" },
  {
    as: "setting",
    name: "dopant level",
    words: /dopant level|dop(?:ant|ing)? (?:level|content)|dotierung/,
    unit: "mol %",
    stage: "precursor",
  },
  {
    as: "result",
    name: "titrated surface residues",
    words: /titrat|residual base|surface residue|restbase/,
    unit: "wt %",
  },
  {
    as: "result",
    name: "tap density",
    words: /tap(?:ped)? density|stampfdichte|klopfdichte|densite tassee/,
    unit: "g/cm³",
  },
  { as: "result", name: "crystallite size", words: /crystallite|kristallit|cristallite/, unit: "nm" },
  {
    as: "result",
    name: "moisture",
    words: /moisture|feuchte|humidite|humedad|water content|水分/,
    unit: "%",
  },
  {
    as: "result",
    name: "loss on ignition",
    words: /loss on ignition|(?:^|[^a-z])loi(?![a-z])|gluhverlust/,
    unit: "%",
  },
  { as: "result", name: "yield", words: /(?:^|[^a-z])yield|ausbeute|rendement|rendimiento/, unit: "%" },
  { as: "result", name: "capacity", words: /capacity|kapazitat/, unit: "mAh/g" },
];

/** Those whose units the reader of trials and pairs knows how to convert. */
const converted: readonly (KnownValue & { readonly column: string })[] = [
  { column: "betM2PerG", as: "result", name: betResult, words: /./, unit: "m²/g" },
  { column: "d10Um", as: "result", name: "stated D10", words: /./, unit: "µm" },
  { column: "d50Um", as: "result", name: "stated D50", words: /./, unit: "µm" },
  { column: "d90Um", as: "result", name: "stated D90", words: /./, unit: "µm" },
  { column: "gasFlowM3PerH", as: "setting", name: "gas flow", words: /./, unit: "m³/h", stage: "milled" },
  { column: "speedRpm", as: "setting", name: "wheel speed", words: /./, unit: "rpm", stage: "milled" },
  { column: "feedKgPerH", as: "setting", name: "feed", words: /./, unit: "kg/h", stage: "milled" },
];

const uncertain =
  /^(?:u|u\(.*\)|±|\+\/-|standard uncertainty|uncertainty|unsicherheit|incertitude|sd|s\.?d\.?)(?![a-z])/;
const unitWords =
  /(?:°c|k\/min|k|h|min|s|rpm|1\/min|min-1|m[³3]\/h|kg\/h|g\/h|kg|mg|g|m[²2]\/g|cm[²2]\/g|mol ?%|wt\.? ?%|%|ppm|nm|[µμu]m|mm|bar|mbar|kpa|mpa|g\/cm[³3]|mah\/g)$/i;

/** A heading without its unit, and the unit as it is written. */
export function headingParts(heading: string): { readonly name: string; readonly unit: string } {
  const text = heading.trim().replace(/\s+/g, " ");
  const bracketed = /^(.*\S)\s*[([]([^()[\]]*)[)\]]$/.exec(text);
  if (bracketed !== null) return { name: bracketed[1] ?? "", unit: (bracketed[2] ?? "").trim() };
  const parted = /^(.*\S)(?:\s*,\s+|\s+\/\s+|\s+in\s+)(\S.*)$/.exec(text);
  if (parted !== null && unitWords.test(parted[2] ?? "") && (parted[2] ?? "").length < 9)
    return { name: parted[1] ?? "", unit: parted[2] ?? "" };
  const [, before = "", last = ""] = /^(.*\S)[\s_]+(\S+)$/.exec(text) ?? [];
  const [, whole = ""] = unitWords.exec(last) === null ? [] : ["", last];
  return whole !== "" && unitWords.exec(last)?.[0] === last
    ? { name: before, unit: last }
    : { name: text, unit: "" };
}

const noStage = { stage: null, isStageNamed: false } as const;
const plain = { name: "", unit: "", factor: 1, isWord: false, ...noStage };

/**
 * What each column of a laboratory's table is: as a copy of this lab names it, as a person said, else by the words of the
 * heading in several languages.
 */
export function labColumns(
  headings: readonly string[],
  words: StageWords,
  said: Readonly<Record<string, ColumnSaid>> = {},
): readonly LabColumn[] {
  const columns: LabColumn[] = [];
  for (const heading of headings) {
    const before = columns.findLast(({ as }) => as === "result");
    columns.push(
      ownColumn(heading) ?? saidColumn(heading, said[heading], words) ?? guessed(heading, words, before),
    );
  }
  return columns;
}

/** A heading as this lab's copies write it. */
function ownColumn(heading: string): LabColumn | null {
  const value = /^(.+?) (setting|result|uncertainty): (.+) \(([^()]*)\)$/.exec(heading);
  if (value !== null) {
    const [, at = "", as = "", name = "", unit = ""] = value;
    const of = columnUses.find((use) => use === as) ?? "left out";
    const stage = at === wholeLot ? null : at;
    return { heading, as: of, name, unit, stage, isStageNamed: true, factor: 1, isWord: of === "setting" };
  }
  const [, at = "", as = ""] = /^(.+?): (date|mass in|mass out|note)(?: \(g\))?$/.exec(heading) ?? [];
  const use = columnUses.find((one) => one === as);
  return use === undefined ? null : { ...plain, heading, as: use, unit: "g", stage: at, isStageNamed: true };
}

/** The heading of a column in a copy; read again it is that very column. */
export function ownHeading(column: Pick<LabColumn, "as" | "name" | "unit" | "stage">): string {
  const at = column.stage ?? wholeLot;
  if (column.as === "mass in" || column.as === "mass out") return `${at}: ${column.as} (g)`;
  if (column.as === "date" || column.as === "note") return `${at}: ${column.as}`;
  return `${at} ${column.as}: ${column.name} (${column.unit})`;
}

function saidColumn(heading: string, said: ColumnSaid | undefined, words: StageWords): LabColumn | null {
  if (said === undefined) return null;
  const { name, unit } = headingParts(heading);
  const named =
    said.stage === undefined ? stageIn(heading, words) : { stage: said.stage, isStageNamed: true };
  const isMass = said.as === "mass in" || said.as === "mass out";
  return {
    ...plain,
    ...named,
    heading,
    as: said.as,
    name: said.name ?? name,
    unit: said.unit ?? unit,
    factor: isMass && (said.unit ?? unit) === "kg" ? 1000 : 1,
  };
}

function stageIn(heading: string, words: StageWords): Pick<LabColumn, "stage" | "isStageNamed"> {
  const found = words.find(({ pattern }) => pattern.test(unaccented(heading)));
  return found === undefined ? noStage : { stage: found.stage, isStageNamed: true };
}

function guessed(heading: string, words: StageWords, before: LabColumn | undefined): LabColumn {
  const letters = unaccented(heading).toLowerCase().trim();
  const { name, unit } = headingParts(heading);
  const at = stageIn(heading, words);
  if (letters === "") return { ...plain, heading, as: "left out" };
  if (before !== undefined && uncertain.test(letters)) return { ...before, heading, as: "uncertainty" };
  const place = places.find(([, pattern]) => pattern.test(letters));
  if (place !== undefined) {
    const isMass = place[0] === "mass in" || place[0] === "mass out";
    return { ...plain, ...at, heading, as: place[0], factor: isMass && /kg/i.test(unit) ? 1000 : 1 };
  }
  for (const one of converted) {
    const match = matchOf(one.column, [heading]);
    // A word such as "flow" alone is no gas flow that a firing was done in, where the heading names another stage.
    if (match !== null)
      return {
        ...plain,
        ...stageOr(at, one),
        heading,
        as: one.as,
        name: one.name,
        unit: one.unit,
        factor: match.factor,
      };
  }
  const known = values.find(({ words: pattern }) => pattern.test(letters));
  if (known !== undefined)
    return {
      ...plain,
      ...stageOr(at, known),
      heading,
      as: known.as,
      name: known.name,
      unit: unit === "" ? known.unit : unit,
      isWord: known.isWord === true,
    };
  return { ...plain, ...at, heading, as: "open", name, unit };
}

/** The stage that the heading names, else the one that such a setting is usually of. */
function stageOr(
  at: Pick<LabColumn, "stage" | "isStageNamed">,
  { stage }: KnownValue,
): Pick<LabColumn, "stage" | "isStageNamed"> {
  return at.isStageNamed ? at : { stage: stage ?? null, isStageNamed: false };
}
