import { batch, computed, effect, signal } from "@preact/signals";
import type { Contract } from "#api/contract/contract.ts";
import type { SavedMaterial } from "#api/records/records.ts";
import { curveMark } from "#model/intake/curveMark.ts";
import { type KnownLab, knownLab, type RunSaid, saidByNames, whatIsMissing } from "#model/intake/intake.ts";
import { learnedPattern, type NamePattern, patternExpression } from "#model/intake/namePattern.ts";
import { isSameMaterial } from "#model/lot/material.ts";
import type { Stage } from "#model/lot/stages.ts";
import { ask, attempt } from "#ui/data/client.ts";
import { type Incoming, tables } from "#ui/data/incoming.ts";
import { isLarge, readable, readingOf } from "#ui/data/readTables.ts";
import { lot } from "#ui/data/selection.ts";
import { savedPattern, savePattern } from "./patternSaved.ts";
import { stageFor } from "./saveAs.ts";

type Place = Contract["POST /api/intake/places"]["answer"]["places"][number];

/** A measurement on its way in: where it stands, and by what its like is found. */
interface RunComing {
  readonly table: Incoming;
  readonly id: string;
  readonly file: string | null;
  readonly name: string;
  readonly mark: string;
}

export type RunPlaced = RunComing & Place;

const marked = new WeakMap<object, string>();
function markOf(distribution: Parameters<typeof curveMark>[0]): string {
  const mark = marked.get(distribution) ?? curveMark(distribution);
  marked.set(distribution, mark);
  return mark;
}

const coming = computed<readonly RunComing[]>(() =>
  tables.value.flatMap((table, i) =>
    isLarge(table)
      ? []
      : (readingOf(table)?.measurements ?? []).map(({ name, distribution }) => ({
          table,
          id: `${i}/${name}`,
          file: table.file,
          name,
          mark: markOf(distribution),
        })),
  ),
);

/** The materials of the lab, fetched when the first names are read. */
export const materials = signal<readonly SavedMaterial[]>([]);
const lab = computed<KnownLab>(() => knownLab(materials.value, []));
export const stageWordsHere = computed(() => lab.value.words.stageWords);

/** Whether measurements go where their names say, each in its row: there are several files, or names that tell lots. */
export const isByPlaces = computed(() => {
  if (coming.value.length === 0 || readable.value.some(isLarge)) return false;
  const said = (run: RunComing) => saidByNames(run, lab.value).lotCode;
  return tables.value.length > 1 || coming.value.some((run) => run.file !== null && said(run) !== null);
});

/** How files are called, learned or typed; null while nothing was. */
export const pattern = signal<NamePattern | null>(savedPattern());
/** What was said of measurements, over what their names say. */
const saidOf = signal<ReadonlyMap<string, RunSaid>>(new Map());
/** What was decided about saving them; those not in it are saved unless they are saved already. */
const wanted = signal<ReadonlyMap<string, boolean>>(new Map());
const answered = signal<{ readonly of: readonly RunComing[]; readonly places: readonly Place[] }>({
  of: [],
  places: [],
});

const openAtFirst = signal<ReadonlySet<string>>(new Set());

/** What was said of one set of files holds for no other. */
export function forgetPlaces(): void {
  batch(() => {
    saidOf.value = new Map();
    wanted.value = new Map();
  });
}

const hashes = new WeakMap<Incoming, Promise<string | undefined>>();
/** SHA-256 of a file, where the browser may compute one: not over plain HTTP from another machine. */
function hashOf(table: Incoming): Promise<string | undefined> {
  const found =
    hashes.get(table) ?? hashed(new Uint8Array(table.bytes ?? new TextEncoder().encode(table.text)));
  hashes.set(table, found);
  return found;
}

async function hashed(bytes: Uint8Array<ArrayBuffer>): Promise<string | undefined> {
  if (globalThis.crypto?.subtle === undefined) return undefined;
  const digest = new Uint8Array(await crypto.subtle.digest("SHA-256", bytes));
  return [...digest].map((byte) => byte.toString(16).padStart(2, "0")).join("");
}

let asked = 0;
let settled: Promise<boolean> = Promise.resolve(true);
/** Asks where all of them go, again whenever something is said; the last answer holds. */
effect(() => {
  const [runs, said, names] = [coming.value, saidOf.value, pattern.value];
  const mine = ++asked;
  if (isByPlaces.value)
    settled = attempt(() => askPlaces({ runs, said, names, isLast: () => mine === asked }));
});

async function askPlaces(of: {
  readonly runs: readonly RunComing[];
  readonly said: ReadonlyMap<string, RunSaid>;
  readonly names: NamePattern | null;
  readonly isLast: () => boolean;
}): Promise<void> {
  const { runs, said, names, isLast } = of;
  const sent = await Promise.all(
    runs.map(async ({ table, id, file, name, mark }) => {
      const sha256 = await hashOf(table);
      return { file, name, mark, said: said.get(id), ...(sha256 === undefined ? {} : { sha256 }) };
    }),
  );
  if (!isLast()) return;
  if (materials.value.length === 0) materials.value = (await ask("GET /api/materials", {})).materials;
  const body = {
    runs: sent,
    pattern: names === null ? null : { text: names.text, words: { ...names.words } },
  };
  const { places } = await ask("POST /api/intake/places", { body });
  if (!isLast()) return;
  batch(() => {
    // What cannot be placed stands first, and stays there once it can.
    if (answered.value.of !== runs)
      openAtFirst.value = new Set(runs.flatMap(({ id }, i) => (places[i]?.question == null ? [] : [id])));
    answered.value = { of: runs, places };
  });
}

/** Where each measurement goes, as far as it is known; empty until it was asked. */
export const placed = computed<readonly RunPlaced[]>(() => {
  const { of, places } = answered.value;
  if (of !== coming.value) return [];
  const runs = of.flatMap((run, i) => (places[i] === undefined ? [] : [{ ...run, ...places[i] }]));
  const openFirst = (run: RunComing) => (openAtFirst.value.has(run.id) ? 0 : 1);
  return withTwins(withFallback(runs)).toSorted((a, b) => openFirst(a) - openFirst(b));
});

/** Where no name tells any lot, or any stage, all go into the lot on screen, or are what the tables were looked at as. */
function withFallback(runs: readonly RunPlaced[]): readonly RunPlaced[] {
  const shown = lot.value;
  const isSaid = (run: RunPlaced, key: "lot" | "stage") => saidOf.value.get(run.id)?.[key] !== undefined;
  const isNoLot = shown !== null && runs.every((run) => run.lot === null && !isSaid(run, "lot"));
  const isNoStage = runs.every((run) => run.stage === null && !isSaid(run, "stage"));
  if (!isNoLot && !isNoStage) return runs;
  return runs.map((run) => {
    const stage = isNoStage ? stageFor(run.table) : run.stage;
    const into = isNoLot ? { lotId: shown.id, lot: shown.name, material: shown.material } : {};
    const filled = { ...run, ...into, stage };
    // A code that two lots share stays open; what was only missing is asked for as far as it still is.
    return run.question === whatIsMissing(run) ? { ...filled, question: whatIsMissing(filled) } : filled;
  });
}

/** The same curve twice among the files themselves is a double as well. */
function withTwins(runs: readonly RunPlaced[]): readonly RunPlaced[] {
  const first = new Map<string, RunPlaced>();
  return runs.map((run) => {
    const twin = first.get(run.mark);
    if (twin === undefined) first.set(run.mark, run);
    if (twin === undefined || run.double !== null) return run;
    const { lot: its, stage, file, name } = twin;
    const where = file === null || file === run.file ? name : `${name} of ${file}`;
    return {
      ...run,
      double: { as: "same curve" as const, lotId: 0, lot: its ?? "these files", stage, name: where },
    };
  });
}

/** Doubles are left out until somebody wants them after all. */
export const isWanted = (run: RunPlaced): boolean => wanted.value.get(run.id) ?? run.double === null;

export function want(runs: readonly RunPlaced[], isIn: boolean): void {
  wanted.value = new Map([...wanted.value, ...runs.map(({ id }) => [id, isIn] as const)]);
}

export const toSave = computed(() => placed.value.filter(isWanted));
export const openPlaces = computed(() => toSave.value.filter(({ question }) => question !== null));

/** Materials of new lots that the lab does not have: their density is not in any file. */
export const newMaterials = computed(() => {
  const names = toSave.value.flatMap(({ lotId, material }) =>
    lotId === null && material !== null ? [material] : [],
  );
  const known = (name: string) => materials.value.some((one) => isSameMaterial(one.name, name));
  return [...new Set(names)].filter((name) => !known(name));
});
export const densities = signal<ReadonlyMap<string, number | null>>(new Map());

export interface Correction {
  readonly runs: readonly RunPlaced[];
  readonly key: "material" | "lot" | "stage" | "portion";
  readonly value: string | null;
  readonly stage: Stage | null;
}

/**
 * Takes what a person says of measurements; the first of them shows how the others are called.
 *
 * @returns  whether it was taken, once it is known where all of them go
 */
export function correct(corrections: readonly Correction[]): Promise<boolean> {
  const now = new Map(saidOf.value);
  for (const { runs, key, value, stage } of corrections)
    for (const { id } of runs) now.set(id, { ...now.get(id), [key]: key === "stage" ? stage : value });
  const learned = learnedFrom(corrections, now) ?? pattern.value;
  batch(() => {
    saidOf.value = now;
    if (learned !== pattern.value) setPattern(learned);
  });
  return settled;
}

function learnedFrom(
  corrections: readonly Correction[],
  said: ReadonlyMap<string, RunSaid>,
): NamePattern | null {
  const [first] = corrections;
  const [run] = first?.runs ?? [];
  // Only where others may be called alike: a portion alone teaches nothing of the rest.
  if (run?.file == null || first?.key === "portion" || new Set(coming.value.map((r) => r.file)).size < 2)
    return null;
  const whole = { ...run, ...said.get(run.id) };
  const { material, lot: of, stage, portion } = whole;
  return learnedPattern(run.file, { material, lot: of, stage, portion }, lab.value.words, pattern.value);
}

export function setPattern(next: NamePattern | null): void {
  pattern.value = next;
  savePattern(next);
}

/** Takes a pattern as it was typed; an empty one forgets it. @returns what is wrong with it, null where nothing is */
export function typePattern(text: string): string | null {
  try {
    if (text.trim() !== "") patternExpression(text);
  } catch (fault) {
    return fault instanceof Error ? fault.message : String(fault);
  }
  setPattern(text.trim() === "" ? null : { text: text.trim(), words: pattern.value?.words ?? {} });
  return null;
}
