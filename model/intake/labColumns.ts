import { factorOf, matchOf } from "#distributions/tables/reading/knownColumns.ts";
import type { Stage } from "#model/lot/stages.ts";
import {
  type ColumnUse,
  columnUses,
  converted,
  headingParts,
  type KnownValue,
  placeWords,
  uncertain,
  valueWords,
} from "./labColumnWords.ts";
import { type StageWords, unaccented } from "./stageWords.ts";

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
  const factor = isMass ? massFactor(said.unit ?? unit) : 1;
  // Masses in a unit that is not known wait until one is said.
  if (factor === null) return { ...plain, ...named, heading, as: "open", name, unit };
  return {
    ...plain,
    ...named,
    heading,
    as: said.as,
    name: said.name ?? name,
    unit: isMass ? "g" : (said.unit ?? unit),
    factor,
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
  if (before !== undefined && uncertain.test(letters)) {
    // A relative uncertainty is no number in the unit of its result.
    const isRelative = /[%％]|rel\b/.test(letters) && !/[%％]/.test(before.unit);
    return isRelative
      ? { ...plain, ...at, heading, as: "open", name, unit: unit === "" ? "%" : unit }
      : { ...before, heading, as: "uncertainty" };
  }
  const place = placeWords.find(([, pattern]) => pattern.test(letters));
  if (place !== undefined) {
    const isMass = place[0] === "mass in" || place[0] === "mass out";
    const factor = isMass ? massFactor(unit) : 1;
    // A unit that is not known is none to guess at.
    if (factor === null) return { ...plain, ...at, heading, as: "open", name, unit };
    return { ...plain, ...at, heading, as: place[0], unit: isMass ? "g" : "", factor };
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
  const known = valueWords.find(({ words: pattern }) => pattern.test(letters));
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

/** Grams in one of a unit of mass; null for a unit that is none that is known. */
function massFactor(unit: string): number | null {
  return { "": 1, g: 1, gram: 1, grams: 1, kg: 1000, mg: 1e-3, t: 1e6 }[unit.toLowerCase()] ?? null;
}

/** What numbers with this unit behind them are times to be in the column's; null where it is another that is not known. */
export function factorFor({ as, name, unit }: LabColumn, own: string): number | null {
  if (as === "mass in" || as === "mass out") return massFactor(own);
  const known = converted.find((one) => one.name === name && one.unit === unit);
  const factor = known === undefined ? null : factorOf(known.column, own);
  return factor ?? (unitKey(own) === unitKey(unit) ? 1 : null);
}

/** A unit as it compares with another that is typed otherwise. */
function unitKey(unit: string): string {
  return unit
    .normalize("NFKC")
    .replace(/[\s°^]/g, "")
    .replaceAll("μ", "u")
    .toLowerCase();
}

/** The stage that the heading names, else the one that such a setting is usually of. */
function stageOr(
  at: Pick<LabColumn, "stage" | "isStageNamed">,
  { stage }: KnownValue,
): Pick<LabColumn, "stage" | "isStageNamed"> {
  return at.isStageNamed ? at : { stage: stage ?? null, isStageNamed: false };
}
