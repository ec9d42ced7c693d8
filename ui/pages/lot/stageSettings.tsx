import type { SavedLot, SavedStageRecord, StageSetting } from "#api/records/records.ts";
import type { Stage } from "#model/lot/stages.ts";
import { dopantSetting } from "#model/surface/calibrationMetadata.ts";
import { saveStage } from "#ui/data/card.ts";
import { useDraft } from "#ui/data/draft.ts";
import { useStages } from "#ui/data/steps.ts";
import { EditInPlace } from "#ui/parts/editInPlace.tsx";
import { figures } from "#ui/parts/format.ts";
import { NumberField } from "#ui/parts/numberField.tsx";
import { Restored } from "#ui/parts/restored.tsx";
import { TextField } from "#ui/parts/textField.tsx";

/** Settings that are often recorded, with their usual unit. Any other can be typed. */
const usual: Readonly<Record<string, string>> = {
  temperature: "°C",
  time: "h",
  atmosphere: "",
  "lithium excess": "%",
  dopant: "",
  "dopant level": "mol %",
  "wheel speed": "rpm",
  "gas flow": "m³/h",
  feed: "kg/h",
  mass: "g",
  [dopantSetting]: "",
};

/** An amount of a recipe; null while it is being typed. */
interface Amount {
  readonly name: string;
  readonly massG: number | null;
}

interface Entered {
  readonly settings: readonly StageSetting[];
  readonly note: string;
  readonly weighed: readonly Amount[];
}

/** How each stage of the lot was made. */
export function StageSettings({ lot, saved }: { lot: SavedLot; saved: readonly SavedStageRecord[] }) {
  const { all, say } = useStages(lot);
  return (
    <>
      <h3>Settings of each stage</h3>
      {all.map((stage) => {
        const ofStage = saved.find((s) => s.stage === stage) ?? null;
        return (
          <StageForm
            key={`${lot.id} ${stage} ${ofStage?.version}`}
            lotId={lot.id}
            stage={stage}
            name={say(stage)}
            saved={ofStage}
          />
        );
      })}
    </>
  );
}

function StageForm(props: { lotId: number; stage: Stage; name: string; saved: SavedStageRecord | null }) {
  const { lotId, stage, name: called, saved } = props;
  const draft = useDraft<Entered>(`lot ${lotId} settings of ${stage}`, {
    settings: saved?.settings ?? [],
    note: saved?.note ?? "",
    weighed: saved?.weighed ?? [],
  });
  const { settings, note, weighed = [] } = draft.value;
  const words = settingWords(saved);
  return (
    <EditInPlace
      of={`settings of ${called}`}
      isOpenAtFirst={draft.isRestored}
      finding={
        <>
          {called}
          {words === "" ? "" : `: ${words}`}
        </>
      }
    >
      <form
        aria-label={`Settings of ${called}`}
        onSubmit={(event) => {
          event.preventDefault();
          const named = settings
            .map((s) => ({ ...s, name: s.name.trim() }))
            .filter((s) => s.name !== "" && s.value.trim() !== "");
          const amounts = weighed.flatMap(({ name, massG }) =>
            name.trim() === "" || massG === null || massG <= 0 ? [] : [{ name: name.trim(), massG }],
          );
          const entered = {
            settings: named,
            note: note.trim(),
            weighed: amounts.length === 0 ? null : amounts,
          };
          void saveStage(lotId, stage, entered, saved);
        }}
      >
        <Restored draft={draft} of={`settings of ${stage}`} />
        <SettingRows settings={settings} onChange={(to) => draft.set({ ...draft.value, settings: to })} />
        <WeighedIn weighed={weighed} onChange={(to) => draft.set({ ...draft.value, weighed: to })} />
        <TextField
          label="Note on the stage"
          value={note}
          wide
          onChange={(to) => draft.set({ ...draft.value, note: to })}
        />
        <button type="submit">Save the settings of {called}</button>
      </form>
    </EditInPlace>
  );
}

/** The settings, a row each. */
function SettingRows(props: {
  settings: readonly StageSetting[];
  onChange: (to: readonly StageSetting[]) => void;
}) {
  const { settings, onChange } = props;
  const set = (i: number, change: Partial<StageSetting>) =>
    onChange(settings.map((s, j) => (i === j ? { ...s, ...change } : s)));
  return (
    <>
      {settings.map((setting, i) => (
        <div key={i}>
          <TextField
            label="Setting"
            value={setting.name}
            offered={Object.keys(usual)}
            onChange={(name) => set(i, { name, unit: setting.unit || (usual[name] ?? "") })}
          />
          <TextField label="Value" value={setting.value} onChange={(value) => set(i, { value })} />
          <TextField label="Unit" value={setting.unit} onChange={(unit) => set(i, { unit })} />
          <button
            type="button"
            class="small"
            aria-label={`Delete ${setting.name || "this setting"}`}
            onClick={() => onChange(settings.filter((_, j) => j !== i))}
          >
            Delete
          </button>
        </div>
      ))}
      <div>
        <button
          type="button"
          class="small"
          onClick={() => onChange([...settings, { name: "", value: "", unit: "" }])}
        >
          Add a setting
        </button>
      </div>
    </>
  );
}

/** What was weighed in, as a recipe has it. */
function WeighedIn(props: { weighed: readonly Amount[]; onChange: (to: readonly Amount[]) => void }) {
  const { weighed, onChange } = props;
  const set = (i: number, change: Partial<Amount>) =>
    onChange(weighed.map((one, j) => (i === j ? { ...one, ...change } : one)));
  return (
    <>
      {weighed.map(({ name, massG }, i) => (
        <div key={i}>
          <TextField label="Weighed in" value={name} onChange={(to) => set(i, { name: to })} />
          <NumberField
            label="Amount"
            unit="g"
            value={massG}
            min={0}
            mayBeEmpty
            onChange={(to) => set(i, { massG: to })}
          />
          <button
            type="button"
            class="small"
            aria-label={`Delete ${name || "this amount"}`}
            onClick={() => onChange(weighed.filter((_, j) => j !== i))}
          >
            Delete
          </button>
        </div>
      ))}
      <div>
        <button type="button" class="small" onClick={() => onChange([...weighed, { name: "", massG: null }])}>
          Add a weighed amount
        </button>
      </div>
    </>
  );
}

function settingWords(saved: SavedStageRecord | null): string {
  if (saved === null) return "";
  const words = saved.settings.map((s) => `${s.name} ${s.value} ${s.unit}`.trim());
  const amounts = (saved.weighed ?? []).map(({ name, massG }) => `${name} ${figures(massG)} g`);
  return [...words, ...amounts, saved.note].filter((word) => word !== "").join("; ");
}
