import { useEffect, useState } from "preact/hooks";
import type { SavedLot } from "#api/records/records.ts";
import { originWords } from "#model/answers/lot/originWords.ts";
import { linkTo } from "#ui/data/address.ts";
import { fetchRuns, lots } from "#ui/data/entries.ts";
import { stageLine } from "#ui/data/selection.ts";
import { dayText } from "#ui/parts/days.ts";
import { withUnit } from "#ui/parts/format.ts";
import { SmallCurve } from "#ui/parts/smallCurve.tsx";
import { stageInk } from "#ui/parts/stageInk.ts";
import { AboutLot } from "./aboutLot.tsx";
import { inheritedRuns } from "./inheritedRuns.ts";

/** How a lot stands and where its powder came from, in a line; the button opens what changes it. */
export function LotStanding({ lot }: { lot: SavedLot }) {
  const [isOpen, setOpen] = useState(false);
  const words = stateWords(lot);
  const known = lots.value;
  useEffect(() => void fetchRuns(ancestorsOf(lot)), [lot, known]);
  return (
    <>
      {originOf(lot)}{" "}
      <button
        type="button"
        class="small"
        aria-haspopup="dialog"
        title="State, day made, origin, masses of the stages"
        aria-label={`State and origin of the lot: ${words}`}
        onClick={() => setOpen(true)}
      >
        {words}
      </button>
      {isOpen && <AboutLot lot={lot} onClose={() => setOpen(false)} />}
    </>
  );
}

/** "On hold: lumps", "Reworked into Garnet 30", with the day it was made. */
function stateWords({ state, dateMade, exclusionReason }: SavedLot): string {
  const into = state.lotId === null ? "" : ` ${nameOfLot(state.lotId)}`;
  const why = state.why.trim() === "" ? "" : ` (${state.why.trim()})`;
  const parts = [
    `${state.name}${into}${why}`,
    ...(dateMade === null ? [] : [`made ${dayText(dateMade)}`]),
    ...(exclusionReason === null ? [] : [`excluded: ${exclusionReason}`]),
  ];
  const words = parts.join(", ");
  return words.charAt(0).toUpperCase() + words.slice(1);
}

function originOf(lot: SavedLot): string {
  const parents = lot.parents.map((parent) => {
    const kept = lots.value.find((one) => one.id === parent.lotId);
    const isReworked = kept?.state.name === "reworked into" && kept.state.lotId === lot.id;
    return { ...parent, name: nameOfLot(parent.lotId), isReworked };
  });
  return originWords(parents);
}

/** A lot that is not here yet is called by its number. */
export function nameOfLot(id: number): string {
  return lots.value.find((lot) => lot.id === id)?.name ?? `lot no. ${id}`;
}

/** The lots its powder came from, and theirs, as far as they are here: what was inherited is shown with it. */
function ancestorsOf(lot: SavedLot): number[] {
  const found = new Set(lot.parents.map((parent) => parent.lotId));
  // A set is gone through to its end, with what was added on the way.
  for (const id of found)
    for (const { lotId } of lots.value.find((one) => one.id === id)?.parents ?? []) found.add(lotId);
  return [...found];
}

/** The stages a lot went through as part of another, before its own: each leads to the lot it was measured on. */
export function InheritedStages({ lot }: { lot: SavedLot }) {
  const inherited = inheritedRuns(lot);
  const drawn = [...inherited, ...stageLine.value].flatMap(({ curve }) => (curve === null ? [] : [curve]));
  return (
    <>
      {inherited.map(({ of, stage, curve, d50Um, runs }) => (
        <li key={`${of.id} ${stage}`} style={{ "--stage": stageInk(stage) }}>
          <div class="way">{of.name}</div>
          {curve !== null && <SmallCurve curve={curve} among={drawn} />}
          <a
            href={linkTo({ page: "lot", lotId: of.id, stage })}
            aria-label={`${stage}, inherited from ${of.name}`}
          >
            {stage}, inherited
          </a>
          <div class="quiet">
            D50 {withUnit(d50Um, "µm")} · {runs === 1 ? "1\u00a0run" : `${runs}\u00a0runs`}
          </div>
        </li>
      ))}
    </>
  );
}
