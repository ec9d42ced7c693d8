import { unbroken } from "../parts/format.ts";
import { rescue } from "../state/rescue.ts";
import { gap } from "../state/subject.ts";

/** How surely all limits hold together, and what would bring the lot back; silent where the verdict itself is not final. */
export function RescueLine() {
  const found = rescue.value;
  if (found === null || gap.value !== null) return null;
  return (
    <p class="two-lines" data-rescue>
      {unbroken(found.sentence)}
    </p>
  );
}
