import { useEffect } from "preact/hooks";
import { unbroken } from "#ui/parts/format.ts";
import { HowFound } from "#ui/parts/howFound.tsx";
import { NumberField } from "#ui/parts/numberField.tsx";
import { releaseHere, samplingPercent, showRelease, sizeShift } from "./sizeShiftState.ts";

/** How likely the lot conforms, by two named figures, and the size shift needed. */
export function SizeShiftLine() {
  useEffect(showRelease, []);
  const release = releaseHere.value;
  const shift = sizeShift.value;
  if (release === null && shift === null) return null;
  return (
    <p class="two-lines" data-size-shift>
      {unbroken([release?.sentence, shift?.sentence].filter((part) => part !== undefined).join(" "))}
    </p>
  );
}

/** What the figures leave out, and how they are found. */
export function ReleaseNotes() {
  const release = releaseHere.value;
  if (release === null || release.notes.length === 0) return null;
  return (
    <HowFound of={["release of a lot", "risks of a decision rule", "size shift needed"]} inputs={[]}>
      <p class="quiet" data-release-notes>
        {unbroken(release.notes.join(" "))}
      </p>
      <NumberField
        label="Standard deviation of portions of one lot, if known (for the chances shown here; it is not saved)"
        unit="%"
        value={samplingPercent.value}
        mayBeEmpty
        onChange={(v) => {
          if (v === null || v > 0) samplingPercent.value = v;
        }}
      />
    </HowFound>
  );
}
