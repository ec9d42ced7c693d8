import type { SavedLot } from "#api/records/records.ts";
import { useDraft } from "#ui/data/draft.ts";
import { setState } from "#ui/data/standing.ts";
import { Choice } from "#ui/parts/choice.tsx";
import { momentText } from "#ui/parts/days.ts";
import { LotChoice } from "#ui/parts/lotChoice.tsx";
import { Restored } from "#ui/parts/restored.tsx";
import { TextField } from "#ui/parts/textField.tsx";

const states = [
  "open",
  "on hold",
  "released",
  "reworked into",
  "blended into",
  "scrapped",
] as const satisfies readonly SavedLot["state"]["name"][];

/** The state of a lot: which, why, and into which lot it went. Who says so and when is noted beside it. */
export function StateForm({ lot }: { lot: SavedLot }) {
  const { state } = lot;
  const draft = useDraft(`lot ${lot.id} state`, { name: state.name, why: state.why, into: state.lotId });
  const { name, why, into } = draft.value;
  const setName = (to: typeof name) => draft.set({ ...draft.value, name: to });
  const setWhy = (to: string) => draft.set({ ...draft.value, why: to });
  const setInto = (to: typeof into) => draft.set({ ...draft.value, into: to });
  const goesInto = name === "reworked into" || name === "blended into";
  const isSame = name === state.name && why === state.why && (!goesInto || into === state.lotId);
  return (
    <form
      aria-label="State of the lot"
      onSubmit={(event) => {
        event.preventDefault();
        void setState(lot, { name, why: why.trim(), lotId: goesInto ? into : null });
      }}
    >
      <h3>State</h3>
      <Restored draft={draft} of="the state" />
      <Choice label="State" value={name} options={states} onChange={setName} />
      {goesInto && <LotChoice label="Which lot" value={into} onChange={setInto} />}
      <TextField label="Why" value={why} onChange={setWhy} />
      <button type="submit" disabled={isSame || (goesInto && (into === null || into === lot.id))}>
        Save the state
      </button>
      {state.at !== "" && (
        <p class="quiet">
          {state.name} since {momentText(state.at)}
          {state.by === "" ? "" : `, ${state.by}`}.
        </p>
      )}
    </form>
  );
}
