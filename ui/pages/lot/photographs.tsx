import { useState } from "preact/hooks";
import type { SavedLot, SavedPhotograph } from "#api/records/records.ts";
import type { Stage } from "#model/lot/stages.ts";
import { ask, changeEntry } from "#ui/data/client.ts";
import { loadAll } from "#ui/data/entries.ts";
import { remove } from "#ui/data/saving.ts";
import { stage as stageLookedAt } from "#ui/data/selection.ts";
import { useStages } from "#ui/data/steps.ts";
import { Choice } from "#ui/parts/choice.tsx";
import { addStyles } from "#ui/parts/styles.ts";
import { TextField } from "#ui/parts/textField.tsx";
import { WithReason } from "#ui/parts/withReason.tsx";
import css from "./photographs.css?inline";

addStyles(css);

/** Pictures of the powder at its stages, as from a microscope, in the order of the process. */
export function Photographs({ lot, saved }: { lot: SavedLot; saved: readonly SavedPhotograph[] }) {
  const { all, say } = useStages(lot);
  return (
    <>
      <h3>Photographs</h3>
      {all.map((stage) => {
        const ofStage = saved.filter((one) => one.stage === stage);
        if (ofStage.length === 0) return null;
        return (
          <ul key={stage} class="photographs" aria-label={`Photographs of ${say(stage)}`}>
            {ofStage.map((one) => (
              <Photograph key={`${one.id} ${one.version}`} of={one} called={say(stage)} />
            ))}
          </ul>
        );
      })}
      <AddPhotograph lotId={lot.id} all={all} say={say} />
    </>
  );
}

function Photograph({ of: one, called }: { of: SavedPhotograph; called: string }) {
  const [note, setNote] = useState(one.note);
  const at = `api/photographs/${one.id}`;
  return (
    <li>
      <a href={at} target="_blank" rel="noreferrer">
        <img
          src={at}
          loading="lazy"
          alt={`${one.name}, ${called}${one.note === "" ? "" : `: ${one.note}`}`}
        />
      </a>
      <p>
        {called}: {one.name}
      </p>
      <form
        class="inline"
        onSubmit={(event) => {
          event.preventDefault();
          const { id, version, name } = one;
          const body = { name, note: note.trim() };
          void changeEntry("PUT /api/photographs/{id}", { params: { id }, body, version }, loadAll);
        }}
      >
        <TextField label="What it shows" value={note} onChange={setNote} />
        {note.trim() !== one.note && (
          <button type="submit" class="small">
            Save
          </button>
        )}
      </form>
      <WithReason
        verb="Delete"
        isInRow
        of={`the photograph ${one.name}`}
        onDone={(why) => remove("photographs", one, why)}
      />
    </li>
  );
}

/** Files that are chosen are kept at once, each as a change of its own. */
function AddPhotograph(props: { lotId: number; all: readonly Stage[]; say: (stage: Stage) => string }) {
  const { lotId, all, say } = props;
  const [stage, setStage] = useState(stageLookedAt.value?.stage ?? all[0] ?? "milled");
  const [round, setRound] = useState(0);
  const [fault, setFault] = useState<string | null>(null);
  return (
    <p>
      <Choice label="Stage photographed" value={stage} options={all} say={say} onChange={setStage} />
      <label>
        Add photographs (PNG, JPEG or WebP, at most 8 MB each){" "}
        <input
          key={round}
          type="file"
          multiple
          accept="image/png,image/jpeg,image/webp"
          onChange={async (event) => {
            const files = [...(event.currentTarget.files ?? [])];
            setFault(null);
            try {
              for (const file of files)
                await ask("POST /api/lots/{id}/photographs", {
                  params: { id: lotId },
                  query: { stage, name: file.name },
                  file,
                });
            } catch (why) {
              // Beside the field: what is fetched anew meanwhile would take it from the head of the page.
              setFault(why instanceof Error ? why.message : String(why));
            }
            await loadAll();
            setRound(round + 1);
          }}
        />
      </label>
      {fault !== null && <strong role="alert"> {fault}</strong>}
    </p>
  );
}
