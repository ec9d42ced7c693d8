import { useEffect } from "preact/hooks";
import { band, lot } from "#ui/data/selection.ts";
import { Choice } from "#ui/parts/choice.tsx";
import { unbroken } from "#ui/parts/format.ts";
import { HowFound } from "#ui/parts/howFound.tsx";
import { NearSection } from "#ui/parts/nearSection.tsx";
import { NumberField } from "#ui/parts/numberField.tsx";
import { ProblemList } from "#ui/parts/problemList.tsx";
import { CompareMany } from "./compareMany.tsx";
import {
  airClassified,
  airCut,
  areTrialsOpen,
  blend,
  cutUm,
  inMix,
  maxInMix,
  peers,
  sharpness,
  tick,
} from "./manyLotsState.ts";

/** The lot among the others: which are nearest, and what blending or air classification would give. */
export function ManyLots() {
  return (
    <>
      <CompareMany />
      <NearSection heading="Blend and air classification, calculated" of={Mixing} />
    </>
  );
}

/** Worked out once one comes to it. */
function Mixing() {
  useEffect(() => {
    areTrialsOpen.value = true;
    return () => {
      areTrialsOpen.value = false;
    };
  }, []);
  return (
    <HowFound
      of={["blend", "cutting off an end"]}
      inputs={["Mean curves by volume; the cut applies to the runs of the lot selected."]}
    >
      <Blend />
      <AirClassification />
    </HowFound>
  );
}

function Blend() {
  const answer = blend.value;
  return (
    <section aria-labelledby="blend">
      <h3 id="blend">
        Blend of two to {maxInMix} lots for the band {band.value?.name ?? ""}
      </h3>
      {peers.value.map((p) => (
        <label key={p.id} class="field">
          <input
            type="checkbox"
            checked={inMix.value.has(p.id)}
            onChange={(event) => tick(p.id, event.currentTarget.checked)}
          />{" "}
          {p.name}
        </label>
      ))}
      <p class="lead" role="status" data-blend>
        {answer === null ? "Select two to four lots." : unbroken(answer.sentence)}
      </p>
      {answer !== null && (
        <p class="quiet">Shares are by volume, which equals mass where the lots have the same density.</p>
      )}
      {answer !== null && <ProblemList problems={answer.problems} />}
    </section>
  );
}

function AirClassification() {
  const answer = airClassified.value;
  return (
    <section aria-labelledby="cut">
      <h3 id="cut">Air classification of {lot.value?.name ?? "the lot"}</h3>
      <Choice
        label="Remove"
        value={airCut.value}
        options={["coarse", "fines"]}
        say={(end) => (end === "coarse" ? "coarse powder" : "fines")}
        onChange={(end) => {
          airCut.value = end;
        }}
      />
      <NumberField
        label="at"
        unit="µm"
        value={cutUm.value}
        min={0}
        mayBeEmpty
        onChange={(v) => {
          cutUm.value = v !== null && v > 0 ? v : null;
        }}
      />
      <NumberField
        label="Sharpness x25/x75"
        unit=""
        value={sharpness.value}
        min={0}
        max={1}
        onChange={(v) => {
          if (v !== null && v > 0 && v < 1) sharpness.value = v;
        }}
      />
      <p class="lead" role="status" data-cut>
        {answer === null ? "Enter the cut size." : unbroken(answer.sentence)}
      </p>
    </section>
  );
}
