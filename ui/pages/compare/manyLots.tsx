import { useEffect } from "preact/hooks";
import type { BlendAnswer } from "#model/answers/compare/blendAnswer.ts";
import { band, lot, stage } from "#ui/data/selection.ts";
import { Choice } from "#ui/parts/choice.tsx";
import { figures, unbroken } from "#ui/parts/format.ts";
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
  fetchMixable,
  inMix,
  peers,
  shareChoices,
  sharesAre,
  sharpness,
  tick,
  typedShare,
  typedSum,
  typeShare,
  typeShares,
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
  useEffect(() => void fetchMixable(), [lot.value, stage.value?.stage]);
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
  const of = peers.value;
  return (
    <section aria-labelledby="blend">
      <h3 id="blend">Blend of two lots or more for the band {band.value?.name ?? ""}</h3>
      {of.map((p) => (
        <span key={p.id} class="field">
          <label>
            <input
              type="checkbox"
              checked={inMix.value.has(p.id)}
              onChange={(event) => tick(p.id, event.currentTarget.checked)}
            />{" "}
            {p.name}
            {p.state !== "open" && <span class="quiet"> ({p.state})</span>}
          </label>
          {sharesAre.value === "typed" && inMix.value.has(p.id) && (
            <NumberField
              label="share"
              fullName={`share of ${p.name}`}
              unit="%"
              value={typedShare(p.id)}
              min={0}
              max={100}
              mayBeEmpty
              onChange={(v) => typeShare(p.id, v)}
            />
          )}
        </span>
      ))}
      <Choice
        label="Shares"
        value={sharesAre.value}
        options={shareChoices}
        say={(choice) => choice}
        onChange={typeShares}
      />
      <p class="lead" role="status" data-blend>
        {answer === null ? waitingWords() : unbroken(answer.sentence)}
      </p>
      {answer !== null && <BlendNotes {...answer} />}
    </section>
  );
}

/** What is missing before a blend can be said. */
function waitingWords(): string {
  if (band.value === null) return "A blend is calculated for a band: give the lot one.";
  if (peers.value.length < 2)
    return "No other lot of this material and stage has powder left to blend it with.";
  return sharesAre.value === "typed" && inMix.value.size >= 2
    ? "Enter a share above 0."
    : "Select two lots or more.";
}

function BlendNotes({ noShare, problems }: Pick<BlendAnswer, "noShare" | "problems">) {
  return (
    <>
      {noShare.length > 0 && (
        <ul data-no-share>
          {noShare.map(({ name, why }) => (
            <li key={name}>{unbroken(why)}</li>
          ))}
        </ul>
      )}
      <p class="quiet">
        {typedSum.value !== null &&
          `The shares typed add to ${figures(typedSum.value)} % and are taken in proportion. `}
        Shares are by volume, which equals mass where the lots have the same density.
      </p>
      <ProblemList problems={problems} />
    </>
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
