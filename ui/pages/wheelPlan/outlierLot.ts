import { computed } from "@preact/signals";
import { refiredLots } from "./refiring.ts";
import { plan } from "./wheel.ts";

/** The lot that stands apart on re-firing, as it is kept; null where none does. */
export const outlierLot = computed(() => {
  const name = plan.value?.refired?.odd?.lot;
  const found = refiredLots.value.find(({ pair }) => pair.lot === name);
  return found === undefined ? null : { id: found.id, name: found.pair.lot };
});
