import { useState } from "preact/hooks";
import type { SavedLot } from "#api/records/records.ts";
import type { Stage } from "#model/lot/stages.ts";
import { goTo } from "#ui/data/address.ts";
import { useDraft } from "#ui/data/draft.ts";
import { saveLot } from "#ui/data/saving.ts";
import { lotGiven, reworkLot } from "#ui/data/standing.ts";
import { useStages } from "#ui/data/steps.ts";
import { Choice } from "#ui/parts/choice.tsx";
import { NumberField } from "#ui/parts/numberField.tsx";
import { Restored } from "#ui/parts/restored.tsx";
import { TextField } from "#ui/parts/textField.tsx";

const ways = ["split off", "rework"] as const;
type Way = (typeof ways)[number];

/** A new lot from the powder of this one: a part of it, or all of it to be worked again. */
export function NewFromLot({ lot, onMade }: { lot: SavedLot; onMade: () => void }) {
  const [way, setWay] = useState<Way>("split off");
  const draft = useDraft(`new lot from lot ${lot.id}`, "");
  const name = draft.value;
  const [stage, setStage] = useState<Stage>(lot.stages.at(-1)?.stage ?? "milled");
  const { all, say } = useStages(lot);
  const [massG, setMassG] = useState<number | null>(null);
  const [isSending, setSending] = useState(false);
  return (
    <form
      aria-label="New lot from this one"
      onSubmit={async (event) => {
        event.preventDefault();
        if (isSending) return;
        setSending(true);
        const parents = [{ lotId: lot.id, stage, share: 1, massG }];
        const called = name.trim();
        const id = await (way === "rework"
          ? reworkLot(lot, { name: called, stage, massG })
          : saveLot({ ...lotGiven(lot), note: "", name: called, parents }));
        setSending(false);
        if (id !== null) draft.discard();
        if (id === null) return;
        goTo({ page: "lot", lotId: id, stage: null });
        onMade();
      }}
    >
      <h3>New lot from this one</h3>
      <Restored draft={draft} of="the name of the new lot" />
      <Choice label="How" value={way} options={ways} onChange={setWay} />
      <TextField label="Name of the new lot" value={name} onChange={draft.set} />
      <Choice label="From stage" value={stage} options={all} say={say} onChange={setStage} />
      <NumberField label="Mass taken" unit="g" value={massG} min={0} mayBeEmpty onChange={setMassG} />
      <button type="submit" disabled={name.trim() === ""}>
        {way === "split off" ? "Split it off" : "Make the reworked lot"}
      </button>
    </form>
  );
}
