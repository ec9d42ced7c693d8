import { useState } from "preact/hooks";
import type { Stage } from "#model/lot/stages.ts";
import { listed } from "#model/words/wording.ts";
import { address, goTo } from "#ui/data/address.ts";
import { said, trouble } from "#ui/data/client.ts";
import { loadAll, lots } from "#ui/data/entries.ts";
import { type Incoming, incoming, stopLooking, tables } from "#ui/data/incoming.ts";
import { countOf, readable, textOf } from "#ui/data/readTables.ts";
import { importInto, saveLot } from "#ui/data/saving.ts";
import { lot, savedBand, stageToOpen } from "#ui/data/selection.ts";
import { useStages } from "#ui/data/steps.ts";
import { Choice } from "#ui/parts/choice.tsx";
import { LotChoice } from "#ui/parts/lotChoice.tsx";
import { LotForm } from "#ui/parts/lotForm.tsx";
import { hasOpenQuestion, letGo, rememberAll, reported, reportedOf } from "./importState.ts";
import { inTurn } from "./inTurn.ts";
import {
  chooseLot,
  chooseStage,
  lotChosen,
  stageChosen,
  stageFor,
  stagesSpoken,
  stageTold,
} from "./saveAs.ts";

/** Keeps all that is read in a lot. */
export function SaveRead() {
  // Until a lot is chosen here, it is the one on screen.
  const lotId = lotChosen.value ?? lot.value?.id ?? null;
  const [isKeeping, setKeeping] = useState(false);
  const [isMakingLot, setMakingLot] = useState(false);
  const count = readable.value.reduce((sum, table) => sum + countOf(table), 0);
  const shown = reportedOf.value.length;
  const named = stagesSpoken(incoming.value);
  const asStages = new Set(readable.value.map(stageFor));
  const isManyFiles = tables.value.length > 1;
  const more = isManyFiles ? ` from ${readable.value.length} of ${tables.value.length} files` : "";
  const keepIn = async (id: number) => {
    setKeeping(true);
    await keepAll(readable.value, id);
    setKeeping(false);
  };
  const where = address.value.page === "lot" ? "below" : "on the page Lot";
  return (
    <>
      <p>
        {named.length > 1 && stageChosen.value === null && (
          <strong>Their names mention {listed(named)}; all are saved as one stage. </strong>
        )}
        {asStages.size > 1 && (
          <strong>
            To be saved: {listed(readable.value.map((t) => `${t.file ?? "the table"} as ${stageFor(t)}`))},
            unless one stage is chosen for all.{" "}
          </strong>
        )}
        {count === 1 ? "One measurement is" : `${count.toLocaleString("en-GB")} measurements are`} read{more}
        {shown < countOf(incoming.value)
          ? `; the first ${shown} are shown ${where}, all are saved`
          : isManyFiles
            ? `; those of the chosen file are shown ${where}`
            : ` and shown ${where}`}
        . Save in <LotChoice label="lot" value={lotId} onChange={chooseLot} />
        <SavedAs lotId={lotId} stage={stageFor(incoming.value)} />
        {stageTold(incoming.value) === null && <strong>(assumed: nothing names the stage) </strong>}
        <button
          type="button"
          class="main"
          disabled={lotId === null || isKeeping || hasOpenQuestion.value}
          onClick={async () => {
            if (lotId !== null) await keepIn(lotId);
          }}
        >
          Save
        </button>{" "}
        <button
          type="button"
          aria-expanded={isMakingLot}
          class="small"
          onClick={() => setMakingLot(!isMakingLot)}
        >
          In a new lot
        </button>
      </p>
      {hasOpenQuestion.value && <p>A question is open: answer it first. Nothing is saved until then.</p>}
      {isMakingLot && !hasOpenQuestion.value && (
        <LotForm
          lot={{
            name: "",
            material: "",
            densityGPerCm3: null,
            bandId: savedBand.value?.id ?? null,
            note: "",
          }}
          button="Save in this new lot"
          onSave={async (made) => {
            const id = await saveLot(made);
            if (id === null) return;
            chooseLot(id);
            await keepIn(id);
            setMakingLot(false);
          }}
        />
      )}
    </>
  );
}

/** The stage it is saved as: of the lot it is saved in. */
function SavedAs({ lotId, stage }: { lotId: number | null; stage: Stage }) {
  const { all, say } = useStages(lots.value.find((one) => one.id === lotId) ?? null);
  return <Choice label="as" value={stage} options={all} say={say} onChange={chooseStage} />;
}

/** Keeps one table after another, each as its stage; what was not kept stays in the panel. */
async function keepAll(readable: readonly Incoming[], lotId: number): Promise<void> {
  rememberAll();
  const toKeep = readable.map((table) => ({ table, as: stageFor(table) }));
  const done = await inTurn(toKeep, "Saving", async ({ table, as }) => {
    const { file, bytes, options } = table;
    const received = { file, text: textOf(table), bytes, options };
    const isSaved = await importInto(lotId, as, received, reported.value);
    if (isSaved) letGo(table);
    return isSaved;
  });
  const why = trouble.value;
  await loadAll();
  if (why !== null) {
    trouble.value = why;
    return;
  }
  const left = tables.value.map((table) => table.file ?? "a table");
  const all = done === toKeep.length ? "Saved" : `Saved ${done} of ${toKeep.length} files`;
  if (left.length > 0) said.value = `${all}. Still here, not saved: ${listed(left)}.`;
  else {
    stopLooking();
    goTo({ page: "lot", lotId, stage: stageToOpen(lotId) });
  }
}
