import type { Stage } from "#model/lot/stages.ts";
import { betResult } from "#model/surface/bet.ts";

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

/** What tables of laboratories call these columns, without accents; common practice, no source. */
export const placeWords: readonly (readonly [
  Exclude<ColumnUse, "setting" | "result" | "uncertainty">,
  RegExp,
])[] = [
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

/** A setting or a result that is known by its heading. */
export interface KnownValue {
  readonly as: "setting" | "result";
  readonly name: string;
  /** Where no other is written. */
  readonly unit: string;
  /** The stage that it is usually of. */
  readonly stage?: Stage;
  readonly isWord?: boolean;
}

/** Settings and results by their words, without accents; common practice, no source. */
export const valueWords: readonly (KnownValue & { readonly words: RegExp })[] = [
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
export const converted: readonly (KnownValue & { readonly column: string })[] = [
  { column: "betM2PerG", as: "result", name: betResult, unit: "m²/g" },
  { column: "d10Um", as: "result", name: "stated D10", unit: "µm" },
  { column: "d50Um", as: "result", name: "stated D50", unit: "µm" },
  { column: "d90Um", as: "result", name: "stated D90", unit: "µm" },
  { column: "gasFlowM3PerH", as: "setting", name: "gas flow", unit: "m³/h", stage: "milled" },
  { column: "speedRpm", as: "setting", name: "wheel speed", unit: "rpm", stage: "milled" },
  { column: "feedKgPerH", as: "setting", name: "feed", unit: "kg/h", stage: "milled" },
];

export const uncertain =
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
  return unitWords.exec(last)?.[0] === last ? { name: before, unit: last } : { name: text, unit: "" };
}
