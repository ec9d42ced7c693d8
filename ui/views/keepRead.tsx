import { useState } from "preact/hooks";
import { listed } from "#model/answers/wording.ts";
import { type Stage, stages, stagesNamed } from "#model/stages.ts";
import { Choice } from "../parts/choice.tsx";
import { LotChoice } from "../parts/lotChoice.tsx";
import { asTold, countOf, letGo, rememberAll, textOf, told } from "../state/bringIn.ts";
import { type Incoming, incoming, stopLooking, tables } from "../state/incoming.ts";
import { bringInto } from "../state/keeping.ts";
import { goTo } from "../state/place.ts";
import { said } from "../state/server.ts";
import { lot } from "../state/subject.ts";

/** Keeps all that is read in a lot. */
export function KeepRead() {
  // Until a stage is chosen here, it is the one that the names speak of.
  const [chosenStage, setStage] = useState<Stage | null>(null);
  // Until a lot is chosen here, it is the one on screen.
  const [chosenId, setLotId] = useState<number | null>(null);
  const lotId = chosenId ?? lot.value?.id ?? null;
  const [isKeeping, setKeeping] = useState(false);
  const readable = tables.value.filter((table) => countOf(table) > 0);
  const count = readable.reduce((sum, table) => sum + countOf(table), 0);
  const shown = asTold.value.length;
  const named = stagesNamed([
    ...asTold.value.map((m) => m.name),
    ...readable.map((table) => table.file ?? ""),
  ]);
  const stage = chosenStage ?? named[0] ?? "re-fired";
  const more = tables.value.length > 1 ? ` from ${readable.length} of ${tables.value.length} files` : "";
  return (
    <p>
      {named.length > 1 && chosenStage === null && (
        <strong>Their names speak of {listed(named)}; all are kept as one stage. </strong>
      )}
      {count === 1 ? "One measurement is" : `${count.toLocaleString("en-GB")} measurements are`} read{more}
      {shown < countOf(incoming.value)
        ? `; the first ${shown} are shown below, all are kept`
        : tables.value.length > 1
          ? "; those of the chosen file are shown below"
          : " and shown below"}
      . Keep in <LotChoice label="lot" value={lotId} onChange={setLotId} />
      <Choice label="as" value={stage} options={stages} onChange={setStage} />
      <button
        type="button"
        class="main"
        disabled={lotId === null || isKeeping}
        onClick={async () => {
          if (lotId === null) return;
          setKeeping(true);
          await keepAll(readable, lotId, stage);
          setKeeping(false);
        }}
      >
        Keep
      </button>
    </p>
  );
}

/** Keeps one table after another; what was not kept stays in the panel. */
async function keepAll(readable: readonly Incoming[], lotId: number, stage: Stage): Promise<void> {
  rememberAll();
  for (const table of readable) {
    const { file, bytes, options } = table;
    const received = { file, text: textOf(table), bytes, options };
    if (!(await bringInto(lotId, stage, received, told.value))) return;
    letGo(table);
  }
  const left = tables.value.map((table) => table.file ?? "a table");
  if (left.length > 0) said.value = `Kept. Still here, and not kept: ${left.join(", ")}.`;
  else {
    stopLooking();
    goTo({ page: "band", lotId, stage });
  }
}
