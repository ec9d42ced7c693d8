import { unbroken } from "#ui/parts/format.ts";
import { sizeShift } from "./sizeShiftState.ts";

/** Chance that all limits are met together, and the size shift needed. */
export function SizeShiftLine() {
  const found = sizeShift.value;
  if (found === null) return null;
  return (
    <p class="two-lines" data-size-shift>
      {unbroken(found.sentence)}
    </p>
  );
}
