import { useEffect, useState } from "preact/hooks";
import type { SavedMill } from "#api/records/records.ts";
import { curveOf, sizeAt } from "#distributions/curve.ts";
import type { SizeDistribution } from "#distributions/sizeDistribution.ts";
import type { TrialsRead } from "#model/mill/trials/readTrials.ts";
import { curvesByVolume } from "#model/mill/trials/trialCurves.ts";
import { counted } from "#model/words/wording.ts";
import { useDraft } from "#ui/data/draft.ts";
import { excludedTrials, trials } from "#ui/data/mill.ts";
import { saveTrials } from "#ui/data/saving.ts";
import { CurveEntry } from "#ui/parts/curveEntry.tsx";
import { NumberField } from "#ui/parts/numberField.tsx";
import { ProblemList } from "#ui/parts/problemList.tsx";
import { Restored } from "#ui/parts/restored.tsx";

const empty = {
  speedRpm: null,
  gasFlowM3PerH: null,
  feedKgPerH: null,
  d10Um: null,
  d50Um: null,
  d90Um: null,
  productKgPerH: null,
  holdUpKg: null,
};
type TrialEntry = { readonly [K in keyof typeof empty]: number | null };

const fields: readonly { key: keyof TrialEntry; label: string; unit: string }[] = [
  { key: "speedRpm", label: "Trial speed", unit: "rpm" },
  { key: "gasFlowM3PerH", label: "Gas flow at the wheel", unit: "m³/h" },
  { key: "feedKgPerH", label: "Feed", unit: "kg/h" },
  { key: "d10Um", label: "D10 measured", unit: "µm" },
  { key: "d50Um", label: "D50 measured", unit: "µm" },
  { key: "d90Um", label: "D90 measured", unit: "µm" },
  { key: "productKgPerH", label: "Product collected", unit: "kg/h" },
  { key: "holdUpKg", label: "Hold-up", unit: "kg" },
];

/** One more trial, by its percentiles or its whole curve; or several at once as a table. */
export function TrialForm({ saved }: { saved: SavedMill }) {
  const draft = useDraft<TrialEntry>(`mill ${saved.id} trial to add`, empty);
  const { value: entry, set: setEntry } = draft;
  const [entered, setEntered] = useState<SizeDistribution | "reading" | null>(null);
  const [round, setRound] = useState(0);
  const curve = entered === "reading" ? null : entered;
  const turned = curvesByVolume(
    curve === null ? [] : [{ file: null, name: "the trial's curve", distribution: curve }],
  );
  const [volume] = turned.curves;
  const sizes = volume === undefined ? entry : { ...entry, ...percentilesOf(volume.distribution) };
  const refused =
    curve !== null && volume === undefined
      ? "This curve cannot be used, so the trial cannot be saved with it."
      : null;
  const wrong = entered === "reading" ? "The curve is being read." : (refused ?? whyNot(sizes));
  return (
    <>
      <form
        onSubmit={async (event) => {
          event.preventDefault();
          const { speedRpm, d50Um } = sizes;
          if (wrong !== null || speedRpm === null || d50Um === null) return;
          const name = `trial ${trials.value.length + excludedTrials.value.length + 1}`;
          const made = { name, trial: { ...sizes, speedRpm, d50Um }, curve };
          if (await draft.saving(() => saveTrials(saved.id, [made]))) {
            draft.discard();
            setEntered(null);
            setRound(round + 1);
          }
        }}
      >
        <Restored draft={draft} of="a trial" />
        {fields.map(({ key, label, unit }) => (
          <NumberField
            key={key}
            label={label}
            unit={unit}
            value={sizes[key] === null ? null : Number(sizes[key].toPrecision(4))}
            fault={sizes[key] !== null && !(sizes[key] > 0) ? `Must be above 0 ${unit}.` : null}
            mayBeEmpty
            onChange={(v) => setEntry({ ...entry, [key]: v })}
          />
        ))}
        <CurveEntry key={round} label="Whole curve of the trial (paste its table)" onChange={setEntered} />
        <ProblemList problems={turned.problems} />
        <p class="quiet">
          {wrong ??
            (curve === null
              ? "Without its curve, a trial informs about these percentiles only."
              : "The curve is saved with the trial; D10, D50 and D90 are read from it.")}
        </p>
        <button type="submit" disabled={wrong !== null}>
          Save the trial
        </button>
      </form>
      <Several millId={saved.id} />
    </>
  );
}

function percentilesOf(measured: SizeDistribution): Pick<TrialEntry, "d10Um" | "d50Um" | "d90Um"> {
  const curve = curveOf(measured);
  return { d10Um: sizeAt(curve, 0.1), d50Um: sizeAt(curve, 0.5), d90Um: sizeAt(curve, 0.9) };
}

function whyNot(entry: TrialEntry): string | null {
  const { speedRpm, d10Um, d50Um, d90Um } = entry;
  if (speedRpm === null || d50Um === null)
    return "A trial needs at least its speed and its D50, or its whole curve.";
  if (Object.values(entry).some((v) => v !== null && !(v > 0))) return "Every number must be above zero.";
  if ((d10Um ?? 0) > d50Um || (d90Um ?? Number.POSITIVE_INFINITY) < d50Um)
    return "D10, D50 and D90 must increase in this order.";
  return null;
}

/** Several trials as a table: one row each under the known headings. */
function Several({ millId }: { millId: number }) {
  const [text, setText] = useState("");
  const [kept, setKept] = useState<readonly string[]>([]);
  const [read, setRead] = useState<TrialsRead | null>(null);
  useEffect(() => {
    let isLatest = true;
    setRead(null);
    if (text.trim() !== "")
      void import("#model/mill/trials/readTrials.ts").then(({ readTrials }) => {
        if (isLatest) setRead(readTrials(text, null, kept));
      });
    return () => {
      isLatest = false;
    };
  }, [text, kept]);
  return (
    <>
      <label for="several-trials">
        Or paste several trials with their headings: wheel rpm, gas flow m³/h, feed kg/h, D10, D50 and D90 µm,
        product kg/h, hold-up kg
      </label>
      <textarea
        id="several-trials"
        spellcheck={false}
        value={text}
        onInput={(event) => setText(event.currentTarget.value)}
      />
      {read !== null && <ProblemList problems={read.problems} />}
      {read !== null && read.trials.length > 0 && (
        <KeptSettings unknown={read.unknown} kept={kept} onChange={setKept} />
      )}
      <button
        type="button"
        disabled={read === null || read.trials.length === 0}
        onClick={async () => {
          const from = trials.value.length + excludedTrials.value.length + 1;
          const named = (read?.trials ?? []).map((trial, i) => ({
            name: `trial ${from + i}`,
            trial,
            curve: null,
            ...(read?.settings[i]?.length === 0 ? {} : { settings: read?.settings[i] }),
          }));
          if (!(await saveTrials(millId, named))) return;
          setText("");
          setKept([]);
        }}
      >
        Save {read === null ? "the trials" : counted(read.trials.length, "trial")}
      </button>
    </>
  );
}

/** Columns that nothing is known of: each is left out until it is said to be a setting. */
function KeptSettings(props: {
  readonly unknown: readonly string[];
  readonly kept: readonly string[];
  readonly onChange: (kept: readonly string[]) => void;
}) {
  const { unknown, kept, onChange } = props;
  if (unknown.length === 0) return null;
  return (
    <fieldset>
      <legend>Keep as settings of the trials</legend>
      {unknown.map((heading) => (
        <label key={heading}>
          <input
            type="checkbox"
            checked={kept.includes(heading)}
            onChange={(event) =>
              onChange(
                event.currentTarget.checked ? [...kept, heading] : kept.filter((one) => one !== heading),
              )
            }
          />{" "}
          {heading}{" "}
        </label>
      ))}
    </fieldset>
  );
}
