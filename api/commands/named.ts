import { meant } from "#api/contract/nearest.ts";
import { type Given, textOption } from "#api/contract/options.ts";
import { UnusableInput } from "#api/faults.ts";
import type { SavedLot, SavedMaterial } from "#api/records/records.ts";
import { DomainError } from "#distributions/domainError.ts";
import { isSameMaterial } from "#model/lot/material.ts";
import { stageMeant, stageWords } from "#model/lot/processSteps.ts";
import type { Stage } from "#model/lot/stages.ts";
import { madeIn } from "../store/savedReport.ts";
import type { Store } from "../store/store.ts";

/** The one saved lot of a name, whatever the case where none is written so. @throws UnusableInput  there is none, or more than one */
export async function lotNamed(store: Store, name: string): Promise<SavedLot> {
  const { lots } = await store.lots();
  const written = lots.filter((l) => l.name === name);
  const named =
    written.length > 0 ? written : lots.filter((l) => l.name.toLowerCase() === name.toLowerCase());
  const [lot, second] = named;
  if (lot === undefined || second !== undefined)
    throw new UnusableInput(
      lot === undefined
        ? `There is no lot named ${name}.${meant(
            name,
            lots.map((l) => l.name),
          )} ${listed(lots.map((l) => l.name))}`
        : `${named.length} lots are named ${name}: rename all but one first.`,
      name,
      "the name of one saved lot",
    );
  return lot;
}

/** The lots that --lot, --lots, --material or --month name. @throws UnusableInput */
export async function lotsAsked(store: Store, given: Given): Promise<readonly SavedLot[]> {
  const [name, material] = [textOption(given, "lot"), textOption(given, "material")];
  if (name !== undefined) return [await lotNamed(store, name)];
  const asked = material === undefined ? {} : { material: (await materialCalled(store, material)).name };
  const { lots: kept } = await store.lots(asked);
  if (material !== undefined) return kept;
  const month = textOption(given, "month");
  if (month !== undefined) return madeInMonth(kept, month);
  const numbers = (textOption(given, "lots") ?? "").split(",").map((word) => word.trim());
  return numbers.map((number) => {
    const found = kept.find(({ id }) => String(id) === number);
    if (found !== undefined) return found;
    throw new UnusableInput(
      `There is no lot ${number}. "fineband lots" lists the lots with their numbers.`,
      number,
      "numbers of saved lots, with commas between",
    );
  });
}

function madeInMonth(kept: readonly SavedLot[], month: string): readonly SavedLot[] {
  if (!/^\d{4}-(0[1-9]|1[0-2])$/.test(month))
    throw new UnusableInput(`--month takes a month as 2026-03; found ${month}.`, month, "2026-03");
  const made = madeIn(kept, month);
  if (made.length > 0) return made;
  throw new UnusableInput(`No lot was made in ${month}.`, month, "a month in which lots were made");
}

const maxListed = 40;

function listed(names: readonly string[]): string {
  if (names.length === 0) return "No lot is saved yet.";
  const rest = names.length - maxListed;
  const shown = names.slice(0, maxListed).join("; ");
  return rest > 0
    ? `The saved lots are ${shown} and ${rest} more; "fineband lots --search WORDS" finds one.`
    : `The saved lots are ${shown}.`;
}

/** The saved material of a name, case and blanks aside. @throws UnusableInput  there is none */
export async function materialCalled(store: Store, name: string): Promise<SavedMaterial> {
  const { materials } = await store.materials();
  const found = materials.find((one) => isSameMaterial(one.name, name));
  if (found !== undefined) return found;
  const known = materials.map((one) => one.name);
  const there = known.join(", ");
  throw new UnusableInput(
    `There is no material named ${name}.${meant(name, known)} ${there === "" ? "No material is saved yet." : `The saved materials are ${there}.`}`,
    name,
    "the name of a saved material",
  );
}

/** A stage as a person says it: one of the usual words, or what the material calls the step. @throws UnusableInput */
export function stageCalled(material: SavedMaterial | null, word: string): Stage {
  const steps = material?.steps ?? [];
  try {
    return stageMeant(steps, word);
  } catch (fault) {
    if (!(fault instanceof DomainError)) throw fault;
    const known = stageWords(steps).join(", ");
    throw new UnusableInput(`--stage takes ${known}; found ${word}.`, word, known);
  }
}
