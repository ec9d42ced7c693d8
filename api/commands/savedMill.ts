import { UnusableInput } from "#api/faults.ts";
import type { WheelAsked } from "#api/queries/mill.ts";
import { trialsFor } from "#model/lot/material.ts";
import { notedOf, withLimitOf } from "#model/mill/trials/priors.ts";
import type { Store } from "../store/store.ts";
import { materialCalled } from "./named.ts";

/** What the lab keeps of a mill with one material, as the wheel is asked about it. */
type KeptOfMill = Required<Pick<WheelAsked, "mill" | "trials" | "curves">> & Pick<WheelAsked, "priors">;

/**
 * The mill with the grinding limit and the priors noted for the material, and its trials on that material that count.
 *
 * @throws UnusableInput  no saved mill is called so, or no material
 */
export async function millWithMaterial(
  store: Store,
  millName: string,
  material: string,
): Promise<KeptOfMill> {
  const { id: materialId } = await materialCalled(store, material);
  const { mills } = await store.mills();
  const [saved] = mills.filter(({ name }) => name.toLowerCase() === millName.toLowerCase());
  if (saved === undefined)
    throw new UnusableInput(
      `--material says what is known of a saved mill with that material; ${millName} is no saved mill.`,
      millName,
      mills.length === 0 ? "a mill saved first" : `one of ${mills.map(({ name }) => name).join(", ")}`,
    );
  const noted = notedOf((await store.savedPriors()).savedPriors, saved.id, materialId);
  const { trials: ofMill } = await store.trials(saved.id);
  const { materials } = await store.materials();
  const allIds = materials.map(({ id }) => id);
  const trials = trialsFor(ofMill, materialId, allIds).filter((one) => one.exclusionReason === null);
  return {
    mill: withLimitOf(saved.mill, noted),
    trials: trials.map(({ trial }) => trial),
    curves: trials.flatMap(({ name, curve }) =>
      curve === null ? [] : [{ file: null, name, distribution: curve }],
    ),
    ...(noted === null ? {} : { priors: noted.priors }),
  };
}
