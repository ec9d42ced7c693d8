import type { ComponentChildren } from "preact";
import { useEffect, useState } from "preact/hooks";
import type { SavedLot, SavedMeasurement } from "#api/records/records.ts";
import { stages } from "#model/lot/stages.ts";
import { goTo, linkTo } from "#ui/data/address.ts";
import { type Card, fetchCard } from "#ui/data/card.ts";
import { excludedRuns, lots, measurements } from "#ui/data/entries.ts";
import { looking } from "#ui/data/incoming.ts";
import { changeLot, changeRun, remove } from "#ui/data/saving.ts";
import { checkedWords, lot, stage } from "#ui/data/selection.ts";
import { Choice } from "#ui/parts/choice.tsx";
import { unbroken } from "#ui/parts/format.ts";
import { LotForm } from "#ui/parts/lotForm.tsx";
import { TextField } from "#ui/parts/textField.tsx";
import { Wide } from "#ui/parts/wide.tsx";
import { WithReason } from "#ui/parts/withReason.tsx";
import { MetadataForms } from "./metadataForms.tsx";
import { PredictedBet } from "./predictedBet.tsx";
import { ReleaseRecords } from "./releaseRecords.tsx";
import { Results } from "./results.tsx";
import { StageSettings } from "./stageSettings.tsx";

/** Whose card it is, and what its band says of its last stage. */
function Headline({ name }: { name: string }) {
  const words = looking.value === null ? checkedWords.value : null;
  const at = stage.value?.stage;
  if (words === null || at === undefined) return <h1>{name}</h1>;
  return (
    <h1>
      {name}, {at}. {words.verdict !== "" && <strong>{words.verdict}</strong>}
      {unbroken(words.headline)}
    </h1>
  );
}

/** All about one lot, like the paper card in the bag. */
export function LotCard() {
  const kept = lot.value;
  if (kept === null) return <h1>No lot is kept yet.</h1>;
  return (
    <>
      <Headline name={kept.name} />
      <p class="lead">
        {kept.material === "" ? "" : `${kept.material}, `}
        {kept.densityGPerCm3} g/cm³. {kept.note}{" "}
        <a href={linkTo({ page: "band", lotId: kept.id, stage: null })}>Check it against its band</a>
      </p>
      <Runs key={kept.id} lotId={kept.id} />
      <MetadataForms runs={runsOf(kept.id)} />
      <RestOfCard key={kept.id} lot={kept}>
        <h2>The lot itself</h2>
        <LotForm
          key={`${kept.id} ${kept.version}`}
          lot={{
            name: kept.name,
            material: kept.material,
            densityGPerCm3: kept.densityGPerCm3,
            bandId: kept.bandId,
            note: kept.note,
          }}
          button="Keep the lot as changed"
          onKeep={async (changed) => {
            await changeLot(kept, changed);
          }}
        />
        <div>
          <WithReason
            verb="Delete"
            of={`${kept.name} with its runs`}
            onDone={async (why) => {
              const isGone = await remove("lots", kept, why);
              if (isGone) goTo({ page: "lots", lotId: null, stage: null });
              return isGone;
            }}
          />
        </div>
      </RestOfCard>
    </>
  );
}

/** What is kept of the lot beside its runs. It follows every change of what is kept; what stands below waits, so that nothing moves. */
function RestOfCard({ lot: kept, children }: { lot: SavedLot; children: ComponentChildren }) {
  const [card, setCard] = useState<Card | null>(null);
  const [trouble, setTrouble] = useState<string | null>(null);
  const all = lots.value;
  useEffect(() => {
    let isLatest = true;
    fetchCard(kept.id).then(
      (found) => {
        if (!isLatest) return;
        setCard(found);
        setTrouble(null);
      },
      (fault: unknown) => setTrouble(fault instanceof Error ? fault.message : String(fault)),
    );
    return () => {
      isLatest = false;
    };
  }, [kept.id, all]);
  if (card === null) return <p role="status">{trouble ?? "Fetching the rest of the card …"}</p>;
  return (
    <>
      {[trouble, ...card.damaged.map((d) => d.message)].map(
        (words) =>
          words !== null && (
            <p key={words} role="alert" class="problem">
              {words}
            </p>
          ),
      )}
      <PredictedBet lot={kept} card={card} />
      <StageSettings lotId={kept.id} kept={card.stages} />
      <Results lotId={kept.id} kept={card.results} />
      <ReleaseRecords lot={kept} kept={card.released} />
      {children}
    </>
  );
}

/** Every run of a lot, set aside or not, in the order of the process. */
function runsOf(lotId: number): SavedMeasurement[] {
  return [...(measurements.value.get(lotId) ?? []), ...(excludedRuns.value.get(lotId) ?? [])].sort(
    (a, b) => stages.indexOf(a.stage) - stages.indexOf(b.stage) || a.id - b.id,
  );
}

function Runs({ lotId }: { lotId: number }) {
  const all = runsOf(lotId);
  const aside = all.filter((run) => run.exclusionReason !== null).length;
  const [isOpen, setOpen] = useState(aside > 0);
  if (all.length === 0) return <p>No run is kept yet. Bring in a table to begin.</p>;
  return (
    <details open={isOpen} onToggle={(event) => setOpen(event.currentTarget.open)}>
      <summary>
        Runs: {all.length}, {aside === 0 ? "all count" : `${aside} set aside`}
      </summary>
      <Wide name="Runs of the lot">
        <table>
          <thead>
            <tr>
              <th scope="col">Run</th>
              <th scope="col">Stage</th>
              <th scope="col">From</th>
              <th scope="col">Counts</th>
            </tr>
          </thead>
          <tbody>
            {all.map((run) => (
              <RunRow key={`${run.id} ${run.version}`} run={run} />
            ))}
          </tbody>
        </table>
      </Wide>
    </details>
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
          aria-label={`Mend ${name}`}
          onClick={() => setOpen(!isOpen)}
        >
          Mend
        </button>
        {isOpen && <RunForm run={run} />}
      </th>
      <td>{run.stage}</td>
      <td>{run.file ?? "pasted"}</td>
      <td>
        {run.exclusionReason === null ? (
          <>
            yes{" "}
            <WithReason
              isInRow
              verb="Set aside"
              of={name}
              isNeeded
              onDone={(exclusionReason) => changeRun(run, { exclusionReason })}
            />
          </>
        ) : (
          <>
            set aside: {run.exclusionReason}{" "}
            <button
              type="button"
              class="small"
              aria-label={`Take back ${name}`}
              onClick={() => void changeRun(run, { exclusionReason: null })}
            >
              Take back
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
  return (
    <form
      class="inline"
      onSubmit={(event) => {
        event.preventDefault();
        void changeRun(run, { name: name.trim(), stage });
      }}
    >
      <TextField label="Name of the run" value={name} onChange={setName} />
      <Choice label="Stage of the run" value={stage} options={stages} onChange={setStage} />
      <button type="submit" class="small" disabled={name.trim() === ""}>
        Keep the run as mended
      </button>
    </form>
  );
}
