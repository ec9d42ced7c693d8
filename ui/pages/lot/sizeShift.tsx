import { useEffect } from "preact/hooks";
import { unbroken } from "#ui/parts/format.ts";
import { releaseHere, showRelease, sizeShift } from "./sizeShiftState.ts";

/** How likely the lot conforms, by two named figures, what they leave out, and the size shift needed. */
export function SizeShiftLine() {
  useEffect(showRelease, []);
  const release = releaseHere.value;
  const shift = sizeShift.value;
  if (release === null && shift === null) return null;
  const [leftOut, ...more] = release?.notes ?? [];
  return (
    <>
      <p class="two-lines" data-size-shift>
        {unbroken([release?.sentence, shift?.sentence].filter((part) => part !== undefined).join(" "))}
      </p>
      {leftOut !== undefined && (
        <p class="quiet">
          {unbroken(leftOut)}
          {more.length > 0 && " More below, under Chance of being in band."}
        </p>
      )}
    </>
  );
}
