import { useState } from "preact/hooks";
import type { SavedLot } from "#api/records/records.ts";
import type { Stage } from "#model/lot/stages.ts";
import { lots } from "#ui/data/entries.ts";
import { changeLot } from "#ui/data/saving.ts";
import { lotGiven } from "#ui/data/standing.ts";
import { useStages } from "#ui/data/steps.ts";
import { Choice } from "#ui/parts/choice.tsx";
import { LotChoice } from "#ui/parts/lotChoice.tsx";
import { NumberField } from "#ui/parts/numberField.tsx";

type TakenFrom = SavedLot["parents"][number];

/** The lots that powder came from: one is a split or a rework, several are a blend with shares that add to 100 %. */
export function OriginForm({ lot }: { lot: SavedLot }) {
  const [parents, setParents] = useState<readonly TakenFrom[]>(lot.parents);
  const set = (i: number, change: Partial<TakenFrom>) =>
    setParents(parents.map((one, j) => (i === j ? { ...one, ...change } : one)));
  const total = parents.reduce((sum, { share }) => sum + share, 0);
  const isWhole = parents.length === 0 || Math.abs(total - 1) <= 0.001;
  const isSame = JSON.stringify(parents) === JSON.stringify(lot.parents);
  return (
    <form
      aria-label="Where the powder came from"
      onSubmit={(event) => {
        event.preventDefault();
        void changeLot(lot, { ...lotGiven(lot), parents });
      }}
    >
      <h3>Powder taken from</h3>
      {parents.length === 0 && <p class="quiet">No other lot: it begins with its own first stage.</p>}
      {parents.map((parent, i) => (
        <div key={i}>
          <LotChoice label={`Parent ${i + 1}`} value={parent.lotId} onChange={(lotId) => set(i, { lotId })} />
          <TakenAt parent={parent} onChange={(stage) => set(i, { stage })} />
          {parents.length > 1 && (
            <NumberField
              label="Share"
              unit="%"
              value={100 * parent.share}
              min={0}
              max={100}
              onChange={(share) => share !== null && set(i, { share: share / 100 })}
            />
          )}
          <NumberField
            label="Mass"
            unit="g"
            value={parent.massG}
            min={0}
            mayBeEmpty
            onChange={(massG) => set(i, { massG })}
          />
          <button
            type="button"
            class="small"
            aria-label={`Take away parent ${i + 1}`}
            onClick={() => setParents(withShares(parents.filter((_, j) => j !== i)))}
          >
            Take away
          </button>
        </div>
      ))}
      <button
        type="button"
        class="small"
        onClick={() => setParents(withShares([...parents, firstChoice(lot, parents)]))}
      >
        {parents.length === 0 ? "Name the lot it came from" : "Add a lot to the blend"}
      </button>{" "}
      <button type="submit" disabled={isSame || !isWhole}>
        Save where it came from
      </button>{" "}
      <span class="quiet" role="status">
        {!isWhole && `The shares add to ${Number((100 * total).toFixed(1))} %, not 100 %.`}
      </span>
    </form>
  );
}

function TakenAt(props: { parent: TakenFrom; onChange: (stage: Stage) => void }) {
  const { parent, onChange } = props;
  const { all, say } = useStages(lots.value.find((lot) => lot.id === parent.lotId) ?? null);
  return <Choice label="Taken at" value={parent.stage} options={all} say={say} onChange={onChange} />;
}

/** One parent gives all; a blend begins with equal parts. */
const withShares = (parents: readonly TakenFrom[]): TakenFrom[] =>
  parents.map((parent) => ({ ...parent, share: 1 / parents.length }));

/** The newest lot of the same material that is not named yet, at its furthest stage. */
function firstChoice(lot: SavedLot, parents: readonly TakenFrom[]): TakenFrom {
  const free = lots.value.filter(
    (one) => one.id !== lot.id && parents.every((parent) => parent.lotId !== one.id),
  );
  const chosen = free.findLast((one) => one.material === lot.material) ?? free.at(-1);
  return {
    lotId: chosen?.id ?? lot.id,
    stage: chosen?.stages.at(-1)?.stage ?? "milled",
    share: 1,
    massG: null,
  };
}
