import { useState } from "preact/hooks";
import type { SavedStageRecord, StageSetting } from "#api/records/records.ts";
import { type Stage, stages } from "#model/lot/stages.ts";
import { dopantSetting } from "#model/surface/calibrationMetadata.ts";
import { saveStage } from "#ui/data/card.ts";
import { TextField } from "#ui/parts/textField.tsx";

/** Settings that are often noted, with their usual unit. Others are as welcome. */
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

/** How each stage of the lot was made. */
export function StageSettings({ lotId, kept }: { lotId: number; kept: readonly SavedStageRecord[] }) {
  return (
    <>
      <h2>Settings</h2>
      {stages.map((stage) => {
        const ofStage = kept.find((s) => s.stage === stage) ?? null;
        return (
          <StageForm
            key={`${lotId} ${stage} ${ofStage?.version}`}
            lotId={lotId}
            stage={stage}
            kept={ofStage}
          />
        );
      })}
    </>
  );
}

function StageForm({ lotId, stage, kept }: { lotId: number; stage: Stage; kept: SavedStageRecord | null }) {
  const [settings, setSettings] = useState<readonly StageSetting[]>(kept?.settings ?? []);
  const [note, setNote] = useState(kept?.note ?? "");
  const set = (i: number, change: Partial<StageSetting>) =>
    setSettings(settings.map((s, j) => (i === j ? { ...s, ...change } : s)));
  const words = settingWords(kept);
  return (
    <details>
      <summary>
        {stage}
        {words === "" ? "" : `: ${words}`}
      </summary>
      <form
        aria-label={`Settings of ${stage}`}
        onSubmit={(event) => {
          event.preventDefault();
          const named = settings
            .map((s) => ({ ...s, name: s.name.trim() }))
            .filter((s) => s.name !== "" && s.value.trim() !== "");
          void saveStage(lotId, stage, { settings: named, note: note.trim() }, kept);
        }}
      >
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
              aria-label={`Take out ${setting.name || "this setting"}`}
              onClick={() => setSettings(settings.filter((_, j) => j !== i))}
            >
              Take out
            </button>
          </div>
        ))}
        <div>
          <button
            type="button"
            class="small"
            onClick={() => setSettings([...settings, { name: "", value: "", unit: "" }])}
          >
            Add a setting
          </button>
        </div>
        <TextField label="Note on the stage" value={note} wide onChange={setNote} />
        <button type="submit">Keep the settings of {stage}</button>
      </form>
    </details>
  );
}

function settingWords(kept: SavedStageRecord | null): string {
  if (kept === null) return "";
  const words = kept.settings.map((s) => `${s.name} ${s.value} ${s.unit}`.trim());
  return [...words, kept.note].filter((word) => word !== "").join("; ");
}
