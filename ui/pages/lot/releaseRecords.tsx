import { useState } from "preact/hooks";
import type { ListedReleaseRecord, SavedLot, ShownReleaseRecord } from "#api/records/records.ts";
import { fetchReleaseRecords, release } from "#ui/data/card.ts";
import { lots } from "#ui/data/entries.ts";
import { Choice } from "#ui/parts/choice.tsx";
import { TextField } from "#ui/parts/textField.tsx";
import { Wide } from "#ui/parts/wide.tsx";

/** Answers that are locked as they were given; what is computed from the same inputs today stands beside them. */
export function ReleaseRecords({ lot, kept }: { lot: SavedLot; kept: readonly ListedReleaseRecord[] }) {
  return (
    <>
      <h2>Frozen answers</h2>
      <ul class="plain">
        {kept.map((released) => (
          <FrozenAnswer key={released.id} kept={released} />
        ))}
      </ul>
      <FreezeForm key={kept.length} lot={lot} />
    </>
  );
}

function FreezeForm({ lot }: { lot: SavedLot }) {
  const options = lot.stages.map((s) => s.stage);
  const [stage, setStage] = useState(options.at(-1) ?? null);
  const [name, setName] = useState("");
  const [note, setNote] = useState("");
  if (stage === null)
    return <p class="quiet">Once a run is kept, what is answered about it can be frozen.</p>;
  return (
    <form
      aria-label="Freeze an answer"
      onSubmit={(event) => {
        event.preventDefault();
        void release(lot.id, stage, name.trim(), note.trim());
      }}
    >
      <Choice label="Freeze the answer for" value={stage} options={options} onChange={setStage} />
      <TextField label="under the name" value={name} onChange={setName} />
      <TextField label="Note on the answer" value={note} onChange={setNote} />
      <button type="submit" disabled={name.trim() === ""}>
        Freeze
      </button>
    </form>
  );
}

function FrozenAnswer({ kept }: { kept: ListedReleaseRecord }) {
  const [shown, setShown] = useState<ShownReleaseRecord | string | null>(null);
  return (
    <li>
      <strong>{kept.name}</strong>, {kept.stage}, frozen{" "}
      <time dateTime={kept.releasedAt}>{new Date(kept.releasedAt).toLocaleString()}</time>, version{" "}
      {kept.modelVersion}. {kept.sentence} {kept.note}{" "}
      {kept.hasSheet && (
        <>
          <a href={`api/frozen/${kept.id}/sheet`} target="_blank" rel="noreferrer">
            Sheet of {kept.name}
          </a>{" "}
        </>
      )}
      <button
        type="button"
        class="small"
        aria-expanded={shown !== null}
        aria-label={`${shown === null ? "Compute again" : "Hide"}: ${kept.name}`}
        onClick={async () =>
          setShown(
            shown === null
              ? await fetchReleaseRecords(kept.id).catch((fault: unknown) =>
                  fault instanceof Error ? fault.message : String(fault),
                )
              : null,
          )
        }
      >
        {shown === null ? "Compute again" : "Hide"}
      </button>
      {typeof shown === "string" && <p role="alert">{shown}</p>}
      {shown !== null && typeof shown !== "string" && <Beside shown={shown} />}
    </li>
  );
}

function Beside({ shown: { released, again, changedInputs } }: { shown: ShownReleaseRecord }) {
  const isLotThere = lots.value.some((l) => l.id === released.lotId);
  return (
    <div>
      <p>
        {again.differences.length === 0
          ? `Computed again with version ${again.modelVersion}: the same.`
          : `Computed again with version ${again.modelVersion}: different, and shown beside what was released.`}{" "}
        {changedInputs.length > 0 && `Stale: since then ${changedInputs.join("; ")}.`}
      </p>
      {again.differences.length > 0 && (
        <Wide name="What differs">
          <table>
            <thead>
              <tr>
                <th scope="col">What</th>
                <th scope="col">Frozen</th>
                <th scope="col">Today</th>
              </tr>
            </thead>
            <tbody>
              {again.differences.map((d) => (
                <tr key={d.field}>
                  <th scope="row">{d.field}</th>
                  <td>{JSON.stringify(d.released)}</td>
                  <td>{JSON.stringify(d.now)}</td>
                </tr>
              ))}
            </tbody>
          </table>
        </Wide>
      )}
      {released.sheet !== null && (
        <>
          <p>
            <a href={`api/frozen/${released.id}/sheet`} target="_blank" rel="noreferrer">
              Open the sheet as it was frozen
            </a>
            , to print it; beside it stands the sheet of today.
          </p>
          <div class="sheets">
            <iframe
              title={`Sheet as frozen: ${released.name}`}
              src={`api/frozen/${released.id}/sheet`}
              sandbox=""
            />
            {isLotThere && (
              <iframe
                title={`Sheet of today: ${released.name}`}
                src={`api/lots/${released.lotId}/sheet?stage=${released.inputs.stage}`}
                sandbox=""
              />
            )}
          </div>
        </>
      )}
      <p class="quiet hash">
        Inputs: {released.inputs.runs.length} runs
        {released.inputs.band === null ? ", no band" : `, the band ${released.inputs.band.name}`}. Hash{" "}
        <code>{released.hash}</code>
      </p>
    </div>
  );
}
