import { UnusableInput } from "#api/faults.ts";
import type { SavedLot, SavedMaterial } from "#api/records/records.ts";
import { DomainError } from "#distributions/domainError.ts";
import { isSameMaterial } from "#model/lot/material.ts";
import { stageMeant, stageWords } from "#model/lot/processSteps.ts";
import type { Stage } from "#model/lot/stages.ts";
import type { Store } from "../store/store.ts";

/** The one saved lot of a name. @throws UnusableInput  there is none, or more than one */
export async function lotNamed(store: Store, name: string): Promise<SavedLot> {
  const { lots } = await store.lots();
  const named = lots.filter((l) => l.name === name);
  const [lot, second] = named;
  if (lot === undefined || second !== undefined)
    throw new UnusableInput(
      lot === undefined
        ? `There is no lot named ${name}. The saved lots are ${lots.map((l) => l.name).join(", ")}.`
        : `${named.length} lots are named ${name}: rename all but one first.`,
      name,
      "the name of one saved lot",
    );
  return lot;
}

/** The saved material of a name, case and blanks aside. @throws UnusableInput  there is none */
export async function materialCalled(store: Store, name: string): Promise<SavedMaterial> {
  const { materials } = await store.materials();
  const found = materials.find((one) => isSameMaterial(one.name, name));
  if (found !== undefined) return found;
  const there = materials.map((one) => one.name).join(", ");
  throw new UnusableInput(
    `There is no material named ${name}. ${there === "" ? "No material is saved yet." : `The saved materials are ${there}.`}`,
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
