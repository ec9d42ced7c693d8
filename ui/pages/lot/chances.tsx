import { check, gap } from "#ui/data/selection.ts";
import { unbroken } from "#ui/parts/format.ts";
import { HowFound } from "#ui/parts/howFound.tsx";
import { NumberField } from "#ui/parts/numberField.tsx";
import { releaseHere, samplingPercent } from "./sizeShiftState.ts";

/** What the chances of being in band leave out and rest on, how they are found, and what would sharpen them. */
export function Chances() {
  const release = releaseHere.value;
  if (release === null || gap.value !== null) return null;
  const hasChances = check.value?.rows.some((row) => row.probability !== null) ?? false;
  return (
    <section aria-labelledby="chances">
      <h2 id="chances">Chance of being in band</h2>
      <p class="lead">{unbroken(release.sentence)}</p>
      <HowFound of={["release of a lot", "risks of a decision rule", "size shift needed"]} inputs={[]}>
        {release.notes.length > 0 && <p data-release-notes>{unbroken(release.notes.join(" "))}</p>}
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
      {hasChances && (
        <p class="quiet">
          Chances are calculated from the scatter of these runs and shown up to 99 %. They include sampling
          and dispersion only if each run was sampled and dispersed anew.
        </p>
      )}
    </section>
  );
}
