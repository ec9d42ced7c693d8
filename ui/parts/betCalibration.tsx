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

/** Pairs of geometric and BET area, stage by stage: what the expected BET value is learned from. */
export function BetCalibration() {
  const named = [...new Set([...pairStages, ...pairs.value.map((p) => p.stage)])];
  const sorted = named.flatMap((stage) => pairs.value.filter((p) => p.stage === stage));
  return (
    <>
      <h2>BET notebook</h2>
      <p class="lead">
        {pairs.value.length === 1 ? "One pair" : `${pairs.value.length} pairs`} of geometric and BET area.
        Note one each time a BET value comes back; three of a stage give an interval. A pair holds for powder
        measured the same way, where both ways are noted.
      </p>
      {sorted.length > 0 && (
        <Wide name="BET pairs">
          <table>
            <thead>
              <tr>
                <th scope="col">Stage</th>
                <th scope="col">Geometric area, m²/g</th>
                <th scope="col">BET area, m²/g</th>
                <th scope="col">BET ratio</th>
                <th scope="col">Measured</th>
                <th scope="col">Mend or delete</th>
              </tr>
            </thead>
            <tbody>
              {sorted.map((p, i) => (
                <PairRow key={`${p.id} ${p.version}`} kept={p} number={i + 1} />
              ))}
            </tbody>
          </table>
        </Wide>
      )}
      <NewPair />
    </>
  );
}

function PairRow({ kept, number }: { kept: SavedPair; number: number }) {
  const [isOpen, setOpen] = useState(false);
  const name = `${kept.stage} pair, row ${number}`;
  return (
    <tr>
      <th scope="row">{kept.stage}</th>
      <td class="number">{figures(kept.geometricM2PerG)}</td>
      <td class="number">{figures(kept.betM2PerG)}</td>
      <td class="number">{figures(kept.betM2PerG / kept.geometricM2PerG)}</td>
      <td>{howMeasured(kept)}</td>
      <td>
        <button
          type="button"
          class="small"
          aria-expanded={isOpen}
          aria-label={`Mend ${name}`}
          onClick={() => setOpen(!isOpen)}
        >
          Mend
        </button>{" "}
        <WithReason isInRow verb="Delete" of={name} onDone={(why) => remove("pairs", kept, why)} />
        {isOpen && <MendedPair kept={kept} />}
      </td>
    </tr>
  );
}

/** How a pair was measured, as far as it was noted. */
export function howMeasured(pair: Omit<SavedPair, "id" | "version">): string {
  const { measuredOn, instrument, optics, dopantClass, densityGPerCm3 } = pair;
  const density = densityGPerCm3 === undefined ? undefined : withUnit(densityGPerCm3, "g/cm³");
  const noted = [measuredOn, instrument, optics, dopantClass, density].filter((n) => n !== undefined);
  return noted.join(", ") || "not noted";
}

function MendedPair({ kept }: { kept: SavedPair }) {
  const [draft, setDraft] = useState<PairDraft>(draftOf(kept));
  const pair = pairOf(draft);
  return (
    <form
      class="inline"
      onSubmit={(event) => {
        event.preventDefault();
        if (pair !== null) void changePair(kept, pair);
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
        Keep the pair as mended
      </button>
    </form>
  );
}

function NewPair() {
  const [stage, setStage] = useState<Stage>("re-fired");
  const [typed, setTyped] = useState<PairDraft | null>(null);
  const [isSure, setSure] = useState(false);
  const ofStage = geometricAreaOf(stage);
  const offered = draftOf({ stage, ...(ofStage === null ? {} : { geometricM2PerG: ofStage }) });
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
          The geometric area is that of {lot.value?.name}, {stage}; type over it for another powder.
        </p>
      )}
      {doubt !== null && (
        <p class="problem" role="status">
          {doubt}{" "}
          <label>
            <input type="checkbox" checked={isSure} onChange={(e) => setSure(e.currentTarget.checked)} /> The
            pair is right
          </label>
        </p>
      )}
      <button type="submit" disabled={pair === null || (doubt !== null && !isSure)}>
        Note the pair
      </button>
    </form>
  );
}
