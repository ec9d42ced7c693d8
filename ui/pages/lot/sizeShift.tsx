import { unbroken } from "#ui/parts/format.ts";
import { sizeShift } from "./sizeShiftState.ts";

/** How surely all limits hold together, and what would bring the lot back. */
export function SizeShiftLine() {
  const found = sizeShift.value;
  if (found === null) return null;
  return (
    <p class="two-lines" data-rescue>
      {unbroken(found.sentence)}
    </p>
  );
}
