import { balance } from "./balance.ts";
import { band } from "./band.ts";
import { batch } from "./batch.ts";
import { betPair } from "./betPair.ts";
import { importedTable } from "./importedTable.ts";
import { instrument } from "./instrument.ts";
import type { Kind } from "./kind.ts";
import { logo } from "./logo.ts";
import { lot } from "./lot.ts";
import { material } from "./material.ts";
import { measurement } from "./measurement.ts";
import { mill } from "./mill.ts";
import { photograph } from "./photograph.ts";
import { pressureMill } from "./pressureMill.ts";
import { priors } from "./priors.ts";
import { releaseRecord } from "./releaseRecord.ts";
import { result } from "./result.ts";
import { stageRecord } from "./stageRecord.ts";
import { trial } from "./trial.ts";

/**
 * Every kind of entry under the word it is kept by, in an order in which each only refers to those before it.
 * A new kind is a file of its own and a line here.
 */
export const kindTable = {
  band,
  mill,
  material,
  lot,
  import: importedTable,
  measurement,
  stage: stageRecord,
  result,
  photograph,
  batch,
  trial,
  belief: priors,
  pressureMill,
  balance,
  instrument,
  pair: betPair,
  logo,
  frozen: releaseRecord,
};

export type EntryKind = keyof typeof kindTable;
/** What each kind of entry holds, as it is written down. */
export type Bodies = { readonly [K in EntryKind]: ReturnType<(typeof kindTable)[K]["read"]> };

export const kinds: { readonly [K in EntryKind]: Kind<Bodies[K]> } = { ...kindTable };

export const isKind = (text: string): text is EntryKind => Object.hasOwn(kinds, text);
export const kindNames: readonly EntryKind[] = Object.keys(kinds).filter(isKind);

/** @throws Error  the text names no kind of entry */
export function kindNamed(text: string): EntryKind {
  if (!isKind(text)) throw new Error(`There is no kind of entry ${text}.`);
  return text;
}

/** The kinds that are deleted with an entry. */
export function partsOf(kind: EntryKind): EntryKind[] {
  return kindNames.filter((k) => kinds[k].parent === `${kind}Id` && !kinds[k].standsAlone);
}
