import { band, lot } from "#ui/data/selection.ts";
import { Choice } from "#ui/parts/choice.tsx";
import { unbroken } from "#ui/parts/format.ts";
import { HowFound } from "#ui/parts/howFound.tsx";
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

/** The lot among the others: which are nearest, and what mixing or cutting off an end would give. */
export function ManyLots() {
  return (
    <>
      <CompareMany />
      <details
        onToggle={(event) => {
          areTrialsOpen.value = event.currentTarget.open;
        }}
      >
        <summary>Try a blend, or cut off an end</summary>
        <HowFound
          of={["blend", "cutting off an end"]}
          inputs={["Mean curves by volume; what is cut is that of the runs looked at."]}
        >
          <BlendTry />
          <CutTry />
        </HowFound>
      </details>
    </>
  );
}

function BlendTry() {
  const answer = blend.value;
  return (
    <section aria-labelledby="blend">
      <h3 id="blend">
        Blend try: two to {maxInMix} lots for the band {band.value?.name ?? ""}
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
        {answer === null ? "Tick two to four lots." : unbroken(answer.sentence)}
      </p>
      {answer !== null && (
        <p class="quiet">Shares are by volume, which is by mass where the lots have one density.</p>
      )}
      {answer !== null && <ProblemList problems={answer.problems} />}
    </section>
  );
}

function CutTry() {
  const answer = airClassified.value;
  return (
    <section aria-labelledby="cut">
      <h3 id="cut">Cut off an end of {lot.value?.name ?? "the lot"}</h3>
      <Choice
        label="Cut off the"
        value={airCut.value}
        options={["coarse", "fines"]}
        say={(end) => (end === "coarse" ? "coarse end" : "fines")}
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
        {answer === null ? "Say where to cut." : unbroken(answer.sentence)}
      </p>
    </section>
  );
}
