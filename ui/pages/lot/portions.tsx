import { useState } from "preact/hooks";
import type { SavedMeasurement } from "#api/records/records.ts";
import type { Stage } from "#model/lot/stages.ts";
import { useDraft } from "#ui/data/draft.ts";
import { savePortion } from "#ui/data/standing.ts";
import { DayField } from "#ui/parts/dayField.tsx";
import { dayText } from "#ui/parts/days.ts";
import { EditInPlace } from "#ui/parts/editInPlace.tsx";
import { withUnit } from "#ui/parts/format.ts";
import { NumberField } from "#ui/parts/numberField.tsx";
import { Restored } from "#ui/parts/restored.tsx";
import { TextField } from "#ui/parts/textField.tsx";

type Portion = NonNullable<SavedMeasurement["portion"]>;

/** Common ways to draw a sample of powder and to divide it. Source of the terms: ISO 14488. */
const drawnUsually = ["from the falling stream", "with a spear from several places", "by scoop from the top"];
const dividedUsually = ["spinning riffler", "chute riffler", "coning and quartering", "not divided"];

/** The portions that the runs of each stage were measured on: how portions differ tells a lot's scatter from a run's. */
export function Portions({ runs }: { runs: readonly SavedMeasurement[] }) {
  const measured = [...new Set(runs.map((run) => run.stage))];
  if (measured.length === 0) return null;
  return (
    <>
      <h3>Portions</h3>
      {measured.map((stage) => {
        const ofStage = runs.filter((run) => run.stage === stage);
        const versions = ofStage.map((run) => `${run.id} ${run.version}`).join();
        return <PortionForm key={`${stage} ${versions}`} stage={stage} runs={ofStage} />;
      })}
    </>
  );
}

function PortionForm({ stage, runs }: { stage: Stage; runs: readonly SavedMeasurement[] }) {
  const known = portionsOf(runs);
  const first = runs.filter((run) => run.portion?.name === known[0]?.portion.name);
  const [chosen, setChosen] = useState<ReadonlySet<number>>(new Set(first.map((run) => run.id)));
  const draft = useDraft<Portion>(
    `portions of ${stage} of lot ${runs[0]?.lotId}`,
    known[0]?.portion ?? { name: "portion 1", drawn: "", massG: null, day: null },
  );
  const portion = draft.value;
  const of = runs.filter((run) => chosen.has(run.id));
  return (
    <EditInPlace
      of={`portions of ${stage}`}
      isOpenAtFirst={draft.isRestored}
      finding={`${stage}: ${wordsOf(runs)}`}
    >
      <form
        aria-label={`Portions of ${stage}`}
        onSubmit={(event) => {
          event.preventDefault();
          void draft.saving(() =>
            savePortion(of, { ...portion, name: portion.name.trim(), drawn: portion.drawn.trim() }),
          );
        }}
      >
        <Restored draft={draft} of={`the portion of ${stage}`} />
        <div class="inline">
          {runs.map((run) => (
            <label key={run.id}>
              <input
                type="checkbox"
                checked={chosen.has(run.id)}
                onChange={() => {
                  const next = new Set(chosen);
                  if (!next.delete(run.id)) next.add(run.id);
                  setChosen(next);
                }}
              />{" "}
              {run.name}
            </label>
          ))}
        </div>
        <PortionFields portion={portion} known={known.map((one) => one.portion)} onChange={draft.set} />
        <button
          type="submit"
          disabled={of.length === 0 || portion.name.trim() === "" || (portion.massG ?? 1) <= 0}
        >
          Save the portion of {of.length === 1 ? "one run" : `${of.length} runs`}
        </button>{" "}
        {of.some((run) => run.portion !== undefined) && (
          <button type="button" class="small" onClick={() => void savePortion(of, null)}>
            Take the portion off these runs
          </button>
        )}
      </form>
    </EditInPlace>
  );
}

/** What is noted of a portion: name, how it was drawn and divided, mass and day. */
function PortionFields(props: {
  portion: Portion;
  known: readonly Portion[];
  onChange: (to: Portion) => void;
}) {
  const { portion, known, onChange } = props;
  const set = (change: Partial<Portion>) => onChange({ ...portion, ...change });
  const setOptional = (change: { increments?: number | undefined; divided?: string | undefined }) => {
    const { increments, divided, ...others } = { ...portion, ...change };
    onChange({
      ...others,
      ...(increments === undefined ? {} : { increments }),
      ...(divided === undefined ? {} : { divided }),
    });
  };
  return (
    <>
      <TextField
        label="Portion"
        value={portion.name}
        offered={known.map((one) => one.name)}
        onChange={(name) => set({ ...known.find((one) => one.name === name), name })}
      />
      <TextField
        label="How it was drawn"
        value={portion.drawn}
        offered={drawnUsually}
        onChange={(drawn) => set({ drawn })}
      />
      <NumberField
        label="Increments"
        unit=""
        value={portion.increments ?? null}
        min={1}
        mayBeEmpty
        onChange={(to) => setOptional({ increments: to === null ? undefined : Math.round(to) })}
      />
      <TextField
        label="How it was divided"
        value={portion.divided ?? ""}
        offered={dividedUsually}
        onChange={(to) => setOptional({ divided: to === "" ? undefined : to })}
      />
      <NumberField
        label="Mass"
        unit="g"
        value={portion.massG}
        min={0}
        mayBeEmpty
        onChange={(massG) => set({ massG })}
      />
      <DayField
        label="Drawn on"
        value={portion.day ?? ""}
        onChange={(day) => set({ day: day === "" ? null : day })}
      />
    </>
  );
}

/** The portions named in a stage, in the order of their runs, with how many runs each has. */
function portionsOf(runs: readonly SavedMeasurement[]) {
  const found = new Map<string, { readonly portion: Portion; readonly runs: number }>();
  for (const { portion } of runs)
    if (portion !== undefined)
      found.set(portion.name, { portion, runs: 1 + (found.get(portion.name)?.runs ?? 0) });
  return [...found.values()];
}

function wordsOf(runs: readonly SavedMeasurement[]): string {
  const known = portionsOf(runs);
  if (known.length === 0) return "one portion, nothing noted of it";
  const without = runs.filter((run) => run.portion === undefined).length;
  const named = known.map(({ portion: { name, drawn, divided, increments, massG, day }, runs: of }) => {
    const about = [
      of === 1 ? "one run" : `${of} runs`,
      ...(drawn === "" ? [] : [drawn]),
      ...(increments === undefined ? [] : [increments === 1 ? "one increment" : `${increments} increments`]),
      ...(divided === undefined ? [] : [`divided: ${divided}`]),
      ...(massG === null ? [] : [withUnit(massG, "g")]),
      ...(day === null ? [] : [dayText(day)]),
    ];
    return `${name} (${about.join(", ")})`;
  });
  const rest = without === 0 ? [] : [without === 1 ? "one run without" : `${without} runs without`];
  return [...named, ...rest].join("; ");
}
