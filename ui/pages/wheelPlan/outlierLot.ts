import { computed } from "@preact/signals";
import { refiredLots } from "./refiring.ts";
import { plan } from "./wheel.ts";

/** The lot that is an outlier on re-firing, as it is saved; null where there is none. */
export const outlierLot = computed(() => {
  const name = plan.value?.refired?.odd?.lot;
  const found = refiredLots.value.find(({ pair }) => pair.lot === name);
  return found === undefined ? null : { id: found.id, name: found.pair.lot };
});
