import { useState } from "preact/hooks";
import type { SavedMeasurement } from "#api/records/records.ts";
import { lots } from "#ui/data/entries.ts";
import { changeRun } from "#ui/data/saving.ts";
import { useStages } from "#ui/data/steps.ts";
import { Choice } from "#ui/parts/choice.tsx";
import { TextField } from "#ui/parts/textField.tsx";
import { Wide } from "#ui/parts/wide.tsx";
import { WithReason } from "#ui/parts/withReason.tsx";

/** The runs of a lot: each can be renamed, moved to another stage, excluded with a reason, included again. */
export function LotRuns({ runs }: { runs: readonly SavedMeasurement[] }) {
  const excluded = runs.filter((run) => run.exclusionReason !== null).length;
  if (runs.length === 0) return <p>No runs are saved yet. Import a table to begin.</p>;
  return (
    <>
      <h3>
        Runs: {runs.length}, {excluded === 0 ? "all included" : `${excluded} excluded`}
      </h3>
      <Wide name="Runs of the lot">
        <table>
          <thead>
            <tr>
              <th scope="col">Run</th>
              <th scope="col">Stage</th>
              <th scope="col">Source</th>
              <th scope="col">State</th>
            </tr>
          </thead>
          <tbody>
            {runs.map((run) => (
              <RunRow key={`${run.id} ${run.version}`} run={run} />
            ))}
          </tbody>
        </table>
      </Wide>
    </>
  );
}

function RunRow({ run }: { run: SavedMeasurement }) {
  const [isOpen, setOpen] = useState(false);
  const name = `${run.name} of ${run.stage}`;
  return (
    <tr>
      <th scope="row">
        {run.name}{" "}
        <button
          type="button"
          class="small"
          aria-expanded={isOpen}
          aria-label={`Edit ${name}`}
          onClick={() => setOpen(!isOpen)}
        >
          Edit
        </button>
        {isOpen && <RunForm run={run} />}
      </th>
      <td>{run.stage}</td>
      <td>{run.file ?? "pasted"}</td>
      <td>
        {run.exclusionReason === null ? (
          <>
            included{" "}
            <WithReason
              isInRow
              verb="Exclude"
              of={name}
              isNeeded
              onDone={(exclusionReason) => changeRun(run, { exclusionReason })}
            />
          </>
        ) : (
          <>
            excluded: {run.exclusionReason}{" "}
            <button
              type="button"
              class="small"
              aria-label={`Include ${name} again`}
              onClick={() => void changeRun(run, { exclusionReason: null })}
            >
              Include again
            </button>
          </>
        )}
      </td>
    </tr>
  );
}

function RunForm({ run }: { run: SavedMeasurement }) {
  const [name, setName] = useState(run.name);
  const [stage, setStage] = useState(run.stage);
  const { all, say } = useStages(lots.value.find((lot) => lot.id === run.lotId) ?? null);
  return (
    <form
      class="inline"
      onSubmit={(event) => {
        event.preventDefault();
        void changeRun(run, { name: name.trim(), stage });
      }}
    >
      <TextField label="Name of the run" value={name} onChange={setName} />
      <Choice label="Stage of the run" value={stage} options={all} say={say} onChange={setStage} />
      <button type="submit" class="small" disabled={name.trim() === ""}>
        Save the run
      </button>
    </form>
  );
}
