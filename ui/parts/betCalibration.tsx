import { useState } from "preact/hooks";
import type { SavedPair } from "#api/records/records.ts";
import type { Stage } from "#model/lot/stages.ts";
import {
  draftOf,
  geometricAreaOf,
  oddBesideOthers,
  type PairDraft,
  pairDoubt,
  pairOf,
} from "#ui/data/betPair.ts";
import { pairs } from "#ui/data/entries.ts";
import { changePair, remove, savePair } from "#ui/data/saving.ts";
import { lot } from "#ui/data/selection.ts";
import { Choice } from "./choice.tsx";
import { figures, withUnit } from "./format.ts";
import { PairFields } from "./pairFields.tsx";
import { Wide } from "./wide.tsx";
import { WithReason } from "./withReason.tsx";

const pairStages: readonly Stage[] = ["fired", "crushed", "milled", "re-fired"];

/** Pairs of geometric and BET area, stage by stage: from which BET is predicted. */
export function BetCalibration() {
  const named = [...new Set([...pairStages, ...pairs.value.map((p) => p.stage)])];
  const sorted = named.flatMap((stage) => pairs.value.filter((p) => p.stage === stage));
  return (
    <>
      <h2>BET calibration</h2>
      <p class="lead">
        {pairs.value.length === 1 ? "One pair" : `${pairs.value.length} pairs`} of geometric and BET area. Add
        one for each measured BET value; three pairs of a stage give an interval. A pair is used for powder
        measured the same way, where both ways are recorded.
      </p>
      {sorted.length > 0 && (
        <Wide name="BET pairs">
          <table>
            <thead>
              <tr>
                <th scope="col">Stage</th>
                <th scope="col">Material</th>
                <th scope="col">Geometric area, m²/g</th>
                <th scope="col">BET area, m²/g</th>
                <th scope="col">BET ratio</th>
                <th scope="col">How measured</th>
                <th scope="col">Edit or delete</th>
              </tr>
            </thead>
            <tbody>
              {sorted.map((p, i) => (
                <PairRow key={`${p.id} ${p.version}`} saved={p} number={i + 1} />
              ))}
            </tbody>
          </table>
        </Wide>
      )}
      <NewPair />
    </>
  );
}

function PairRow({ saved, number }: { saved: SavedPair; number: number }) {
  const [isOpen, setOpen] = useState(false);
  const name = `${saved.stage} pair, row ${number}`;
  return (
    <tr>
      <th scope="row">{saved.stage}</th>
      <td>{saved.material ?? "not recorded"}</td>
      <td class="number">{figures(saved.geometricM2PerG)}</td>
      <td class="number">{figures(saved.betM2PerG)}</td>
      <td class="number">{figures(saved.betM2PerG / saved.geometricM2PerG)}</td>
      <td>{howMeasured(saved)}</td>
      <td>
        <button
          type="button"
          class="small"
          aria-expanded={isOpen}
          aria-label={`Edit ${name}`}
          onClick={() => setOpen(!isOpen)}
        >
          Edit
        </button>{" "}
        <WithReason isInRow verb="Delete" of={name} onDone={(why) => remove("pairs", saved, why)} />
        {isOpen && <EditedPair saved={saved} />}
      </td>
    </tr>
  );
}

/** How a pair was measured, as far as it was recorded. */
export function howMeasured(pair: Omit<SavedPair, "id" | "version">): string {
  const { measuredOn, instrument, optics, dopantClass, densityGPerCm3 } = pair;
  const density = densityGPerCm3 === undefined ? undefined : withUnit(densityGPerCm3, "g/cm³");
  const noted = [measuredOn, instrument, optics, dopantClass, density].filter((n) => n !== undefined);
  return noted.join(", ") || "not recorded";
}

function EditedPair({ saved }: { saved: SavedPair }) {
  const [draft, setDraft] = useState<PairDraft>(draftOf(saved));
  const pair = pairOf(draft);
  return (
    <form
      class="inline"
      onSubmit={(event) => {
        event.preventDefault();
        if (pair !== null) void changePair(saved, pair);
      }}
    >
      <Choice
        label="Stage"
        value={draft.stage}
        options={[...new Set([...pairStages, draft.stage])]}
        onChange={(stage) => setDraft({ ...draft, stage })}
      />
      <PairFields draft={draft} onChange={setDraft} />
      <button type="submit" class="small" disabled={pair === null}>
        Save the pair
      </button>
    </form>
  );
}

function NewPair() {
  const [stage, setStage] = useState<Stage>("re-fired");
  const [typed, setTyped] = useState<PairDraft | null>(null);
  const [isSure, setSure] = useState(false);
  const ofStage = geometricAreaOf(stage);
  const offered = draftOf({
    stage,
    ...(lot.value === null ? {} : { material: lot.value.material }),
    ...(ofStage === null ? {} : { geometricM2PerG: ofStage }),
  });
  const draft = typed ?? offered;
  const pair = pairOf({ ...draft, stage });
  const doubt =
    pair === null ? null : (pairDoubt(pair.geometricM2PerG, pair.betM2PerG) ?? oddBesideOthers(pair));
  const change = (changed: PairDraft | null) => {
    setSure(false);
    setTyped(changed);
  };
  const isOffered = ofStage !== null && draft.geometricM2PerG === ofStage;
  return (
    <form
      aria-label="A new pair"
      onSubmit={async (event) => {
        event.preventDefault();
        if (pair === null || (doubt !== null && !isSure)) return;
        if (!(await savePair(pair))) return;
        // The next pair is usually measured the same way.
        change({ ...offered, instrument: draft.instrument, optics: draft.optics });
      }}
    >
      <Choice
        label="Stage"
        value={stage}
        options={pairStages}
        onChange={(chosen) => {
          setStage(chosen);
          change(null);
        }}
      />
      <PairFields draft={draft} onChange={change} />
      {isOffered && (
        <p class="quiet">
          Geometric area of {lot.value?.name}, {stage}; overwrite it for another powder.
        </p>
      )}
      {doubt !== null && (
        <p class="problem" role="status">
          {doubt}{" "}
          <label>
            <input type="checkbox" checked={isSure} onChange={(e) => setSure(e.currentTarget.checked)} /> The
            values are correct
          </label>
        </p>
      )}
      <button type="submit" disabled={pair === null || (doubt !== null && !isSure)}>
        Save the new pair
      </button>
    </form>
  );
}
