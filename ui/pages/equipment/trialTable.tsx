import type { SavedTrial } from "#api/records/records.ts";
import { excludedTrials, mill, trials } from "#ui/data/mill.ts";
import { changeTrial, changeTrials, remove, saveTrials } from "#ui/data/saving.ts";
import { EditableTable } from "#ui/parts/editableTable.tsx";
import type { CellValue, EditableColumn } from "#ui/parts/editableTableCells.ts";
import type { CellChange, EditableRow } from "#ui/parts/editableTableState.ts";
import { figures } from "#ui/parts/format.ts";
import { WithReason } from "#ui/parts/withReason.tsx";

const above = (unit: string) => (value: number) => (value > 0 ? null : `a number above 0 ${unit}`);

const entered = (key: string, label: string, unit: string, isNeeded = false): EditableColumn => ({
  key,
  label,
  unit,
  kind: "number",
  isNeeded,
  isCarried: unit !== "µm",
  whyNot: above(unit),
});

/** Product and hold-up go with what was weighed: they are not carried from trial to trial. */
const columns: readonly EditableColumn[] = [
  { key: "name", label: "Trial", unit: "", kind: "text", isNeeded: true },
  entered("speedRpm", "Speed", "rpm", true),
  entered("gasFlowM3PerH", "Gas flow", "m³/h"),
  entered("feedKgPerH", "Feed", "kg/h"),
  entered("d10Um", "D10", "µm"),
  entered("d50Um", "D50", "µm", true),
  entered("d90Um", "D90", "µm"),
  { ...entered("productKgPerH", "Product", "kg/h"), isCarried: false },
  { ...entered("holdUpKg", "Hold-up", "kg"), isCarried: false },
];

/** What a fit says of each trial: there is nothing to enter. */
const fittedColumns: readonly EditableColumn[] = [
  { key: "moved", label: "Adjusted D50", unit: "µm", kind: "number", isFixed: true, show: figures },
  {
    key: "deviation",
    label: "Deviation z",
    unit: "",
    kind: "number",
    isFixed: true,
    show: (z) => `${z < 0 ? "−" : "+"}${Math.abs(z).toFixed(1)}`,
  },
];

/** A trial beside the others: its D50 at the flow and feed of the plan, and its deviation from what the others predict. */
export interface FittedTrial {
  readonly id: number;
  readonly d50MovedUm: number | null;
  readonly deviationZ: number | null;
}

/** The trials, edited in place; where a fit is given, each with its deviation from what the other trials predict. */
export function TrialTable({ fitted }: { readonly fitted?: readonly FittedTrial[] }) {
  const saved = mill.value;
  if (saved === null) return null;
  const all = [...trials.value, ...excludedTrials.value];
  const byId = new Map(all.map((trial) => [String(trial.id), trial]));
  return (
    <section aria-labelledby="trials">
      <h2 id="trials">Trials: {trials.value.length}</h2>
      <EditableTable
        name="Trials"
        rowNoun="trial"
        asLast="As the last trial"
        columns={fitted === undefined ? columns : [...columns, ...fittedColumns]}
        rows={all.map((trial) => rowOf(trial, fitted))}
        onChange={saveCells}
        onAdd={(rows) => saveTrials(saved.id, rows.map(newTrial))}
        afterHeading="Curve, state"
        after={(row) => stateOf(byId.get(row.id))}
        deedsFor={(row) => {
          const trial = byId.get(row.id);
          return trial === undefined ? null : <TrialDeeds key={trial.id} trial={trial} />;
        }}
      />
      {fitted !== undefined && (
        <p class="quiet">
          Adjusted D50: at the flow and feed of the plan, as drawn. Deviation z: standard deviations by which
          the trial lies above (+) or below (−) the prediction from the other trials; beyond ±3.5 it is named
          and nothing is predicted. The product collected per hour over the feed is the yield.
        </p>
      )}
    </section>
  );
}

function rowOf(saved: SavedTrial, fitted: readonly FittedTrial[] = []): EditableRow {
  const { trial } = saved;
  const own = fitted.find(({ id }) => id === saved.id);
  return {
    id: String(saved.id),
    name: saved.name,
    cells: {
      ...trial,
      productKgPerH: trial.productKgPerH ?? null,
      holdUpKg: trial.holdUpKg ?? null,
      name: saved.name,
      moved: own?.d50MovedUm ?? null,
      deviation: own?.deviationZ ?? null,
    },
  };
}

const numberIn = (cells: Readonly<Record<string, CellValue>>, key: string): number | null => {
  const value = cells[key] ?? null;
  return typeof value === "number" ? value : null;
};

/** Cells as a trial; speed and D50 stand in every whole row, which the table sees to. */
function trialOf(cells: Readonly<Record<string, CellValue>>) {
  const number = (key: string) => numberIn(cells, key);
  const [speedRpm, d50Um] = [number("speedRpm"), number("d50Um")];
  if (speedRpm === null || d50Um === null) throw new Error("A trial needs its speed and its D50.");
  return {
    speedRpm,
    gasFlowM3PerH: number("gasFlowM3PerH"),
    feedKgPerH: number("feedKgPerH"),
    d10Um: number("d10Um"),
    d50Um,
    d90Um: number("d90Um"),
    productKgPerH: number("productKgPerH"),
    holdUpKg: number("holdUpKg"),
  };
}

const newTrial = (cells: Readonly<Record<string, CellValue>>) => ({
  name: String(cells["name"] ?? ""),
  trial: trialOf(cells),
  curve: null,
});

/** Each trial that changed, with all its new cells over what is kept of it at that moment. */
function saveCells(changes: readonly CellChange[]): Promise<boolean> {
  const all = [...trials.value, ...excludedTrials.value];
  const ids = [...new Set(changes.map(({ rowId }) => rowId))];
  return changeTrials(
    ids.flatMap((rowId) => {
      const kept = all.find(({ id }) => String(id) === rowId);
      if (kept === undefined) return [];
      const own = changes.filter((change) => change.rowId === rowId);
      const cells = { ...rowOf(kept).cells, ...Object.fromEntries(own.map(({ key, to }) => [key, to])) };
      return [{ kept, name: String(cells["name"] ?? ""), trial: trialOf(cells) }];
    }),
  );
}

function stateOf(trial: SavedTrial | undefined): string {
  if (trial === undefined) return "";
  const settings = (trial.settings ?? []).map(({ name, value, unit }) => `${name} ${value} ${unit}`.trim());
  const said = [
    ...(trial.curve === null ? [] : ["curve saved"]),
    ...settings,
    ...(trial.exclusionReason === null ? [] : [`excluded: ${trial.exclusionReason}`]),
  ];
  return said.length === 0 ? "–" : said.join("; ");
}

function TrialDeeds({ trial }: { trial: SavedTrial }) {
  return (
    <>
      {trial.exclusionReason === null ? (
        <WithReason
          isNeeded
          verb="Exclude"
          of={trial.name}
          onDone={(exclusionReason) => changeTrial(trial, { exclusionReason })}
        />
      ) : (
        <button
          type="button"
          class="small"
          onClick={() => void changeTrial(trial, { exclusionReason: null })}
        >
          Include {trial.name} again
        </button>
      )}{" "}
      <WithReason verb="Delete" of={trial.name} onDone={(why) => remove("trials", trial, why)} />
    </>
  );
}
