import { computed } from "@preact/signals";
import type { NewPriors } from "#api/records/records.ts";
import { notedOf, withLimitOf } from "#model/mill/trials/priors.ts";
import { noteOnly } from "./client.ts";
import { loadAll, savedPriors } from "./entries.ts";
import { mill } from "./mill.ts";
import { lot } from "./selection.ts";

const materialId = computed(() => lot.value?.materialId ?? null);

/** What is noted of the mill that is planned with and the material looked at, else of that mill; null where neither is. */
export const known = computed(() =>
  mill.value === null ? null : notedOf(savedPriors.value, mill.value.id, materialId.value),
);
/** That of the pair alone. */
export const ownKnown = computed(() => (known.value?.materialId === undefined ? null : known.value));

/** The mill that is planned with, as this material is ground in it. */
export const millInUse = computed(
  () => mill.value && { ...mill.value, mill: withLimitOf(mill.value.mill, known.value) },
);

/** Notes what is known of the pair, or of the mill alone where no material is looked at; null takes it away. */
export async function noteKnown(body: NewPriors | null, then = (): void => undefined): Promise<void> {
  if (mill.value === null) return;
  const { id } = mill.value;
  const sent = body && { ...body, excludedLots: [...body.excludedLots] };
  const loaded = async () => {
    await loadAll();
    then();
  };
  if (materialId.value === null)
    await noteOnly("PUT /api/mills/{id}/belief", { params: { id }, body: sent }, known.value, loaded);
  else {
    const params = { id, materialId: materialId.value };
    await noteOnly(
      "PUT /api/mills/{id}/materials/{materialId}",
      { params, body: sent },
      ownKnown.value,
      loaded,
    );
  }
}
