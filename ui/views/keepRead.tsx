import { useState } from "preact/hooks";
import { type Stage, stages } from "#model/stages.ts";
import { Choice } from "../parts/choice.tsx";
import { LotChoice } from "../parts/lotChoice.tsx";
import { asTold, countOf, rememberAll, textOf, told } from "../state/bringIn.ts";
import { incoming, stopLooking, tables } from "../state/incoming.ts";
import { bringInto } from "../state/keeping.ts";
import { goTo } from "../state/place.ts";
import { lot } from "../state/subject.ts";

/** Keeps all that is read in a lot. */
export function KeepRead() {
  const [stage, setStage] = useState<Stage>("re-fired");
  const [lotId, setLotId] = useState(lot.value?.id ?? null);
  const readable = tables.value.filter((table) => countOf(table) > 0);
  const count = readable.reduce((sum, table) => sum + countOf(table), 0);
  const shown = asTold.value.length;
  const more = tables.value.length > 1 ? ` from ${readable.length} of ${tables.value.length} files` : "";
  return (
    <p>
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
        disabled={lotId === null}
        onClick={async () => {
          if (lotId === null) return;
          rememberAll();
          for (const table of readable) {
            const { file, bytes, options } = table;
            const received = { file, text: textOf(table), bytes, options };
            // What was not kept stays in the panel.
            if (!(await bringInto(lotId, stage, received, told.value))) return;
          }
          stopLooking();
          goTo({ page: "band", lotId, stage });
        }}
      >
        Keep
      </button>
    </p>
  );
}
