import { useState } from "preact/hooks";
import type { ListedReleaseRecord, SavedLot, ShownReleaseRecord } from "#api/records/records.ts";
import type { SignatureState } from "#api/records/signature.ts";
import { fetchReleaseRecords, release } from "#ui/data/card.ts";
import { useDraft } from "#ui/data/draft.ts";
import { lots } from "#ui/data/entries.ts";
import { Choice } from "#ui/parts/choice.tsx";
import { momentText } from "#ui/parts/days.ts";
import { Restored } from "#ui/parts/restored.tsx";
import { TextField } from "#ui/parts/textField.tsx";
import { Wide } from "#ui/parts/wide.tsx";

/** Release records: answers as signed on a day, each beside what the same inputs give today. */
export function ReleaseRecords({ lot, saved }: { lot: SavedLot; saved: readonly ListedReleaseRecord[] }) {
  return (
    <>
      <h3>Release records</h3>
      <ul class="plain">
        {saved.map((record) => (
          <ReleaseRecord key={record.id} saved={record} />
        ))}
      </ul>
      <ReleaseForm key={saved.length} lot={lot} />
    </>
  );
}

function ReleaseForm({ lot }: { lot: SavedLot }) {
  const options = lot.stages.map((s) => s.stage);
  const [stage, setStage] = useState(options.at(-1) ?? null);
  const draft = useDraft(`release of lot ${lot.id}`, { name: "", note: "" });
  const { name, note } = draft.value;
  if (stage === null) return <p class="quiet">A stage can be released once a run of it is saved.</p>;
  return (
    <form
      aria-label="Release a stage"
      onSubmit={(event) => {
        event.preventDefault();
        void draft.saving(() => release(lot.id, stage, name.trim(), note.trim()));
      }}
    >
      <Restored draft={draft} of="the release record" />
      <Choice label="Release the stage" value={stage} options={options} onChange={setStage} />
      <TextField
        label="Name of the release record"
        value={name}
        onChange={(to) => draft.set({ name: to, note })}
      />
      <TextField label="Note on the release" value={note} onChange={(to) => draft.set({ name, note: to })} />
      <button type="submit" disabled={name.trim() === ""}>
        Release
      </button>
    </form>
  );
}

const signatureText: Readonly<Record<SignatureState, string>> = {
  own: "Signed by this lab.",
  foreign: "Signed with another key than this lab’s.",
  none: "Not signed.",
  forged: "The signature does not fit: the record was changed after it was signed.",
};

function ReleaseRecord({ saved }: { saved: ListedReleaseRecord }) {
  const [shown, setShown] = useState<ShownReleaseRecord | string | null>(null);
  return (
    <li>
      <strong>{saved.name}</strong>, {saved.stage}, released{" "}
      <time dateTime={saved.releasedAt}>{momentText(saved.releasedAt)}</time>, version {saved.modelVersion}.{" "}
      {saved.sentence} {saved.note} {signatureText[saved.signatureState]}{" "}
      {saved.hasSheet && (
        <>
          <a href={`api/frozen/${saved.id}/sheet`} target="_blank" rel="noreferrer">
            Report of {saved.name}
          </a>{" "}
        </>
      )}
      <button
        type="button"
        class="small"
        aria-expanded={shown !== null}
        aria-label={`${shown === null ? "Check against today" : "Hide"}: ${saved.name}`}
        onClick={async () =>
          setShown(
            shown === null
              ? await fetchReleaseRecords(saved.id).catch((fault: unknown) =>
                  fault instanceof Error ? fault.message : String(fault),
                )
              : null,
          )
        }
      >
        {shown === null ? "Check against today" : "Hide"}
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
          ? `Recalculated with version ${again.modelVersion}: the same.`
          : `Recalculated with version ${again.modelVersion}: different, shown beside the released values.`}{" "}
        {changedInputs.length > 0 && `Out of date: since then ${changedInputs.join("; ")}.`}
      </p>
      {again.differences.length > 0 && (
        <Wide name="Differences">
          <table>
            <thead>
              <tr>
                <th scope="col">Field</th>
                <th scope="col">Released</th>
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
              Open the report as released
            </a>
            , to print it. Today’s report is beside it.
          </p>
          <div class="sheets">
            <iframe
              title={`Report as released: ${released.name}`}
              src={`api/frozen/${released.id}/sheet`}
              sandbox=""
            />
            {isLotThere && (
              <iframe
                title={`Report of today: ${released.name}`}
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
