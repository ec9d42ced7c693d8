import { normalForm } from "#distributions/families/normalForm.ts";
import { normalTableOf } from "./kernels/normalTable.ts";

let table: Float64Array | null = null;

/** The table of the standard normal curve, a constant: worked out when first needed, since most commands fit nothing. */
export function normalTable(): Float64Array {
  table ??= normalTableOf(normalForm);
  return table;
}
