import { cautionsFor } from "#model/mill/cautions.ts";
import { millInUse as mill } from "#ui/data/knownOfMill.ts";

/** All that a careful person would say before the speed is changed. */
export function PlanCautions() {
  return mill.value === null ? null : (
    <ul class="cautions">
      {cautionsFor(mill.value.mill).map((caution) => (
        <li key={caution}>{caution}</li>
      ))}
    </ul>
  );
}
