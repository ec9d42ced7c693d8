import type { NewResult, SavedResult, StageSetting } from "#api/records/records.ts";
import type { ColumnField } from "#model/answers/factors/lotHistory.ts";
import { fetchCard, saveResult, saveStage } from "#ui/data/card.ts";
import { remove } from "#ui/data/saving.ts";
import type { CellChange } from "#ui/parts/editableTableState.ts";
import { fetchHistory, fields, savedHistory } from "./historyState.ts";

/** Saves cells of the table lot by lot, over what is kept of each lot at that moment. @returns whether all were saved */
export async function saveCells(changes: readonly CellChange[]): Promise<boolean> {
  let isSaved = true;
  for (const id of new Set(changes.map(({ rowId }) => rowId)))
    isSaved =
      isSaved &&
      (await saveLotCells(
        Number(id),
        changes.filter(({ rowId }) => rowId === id),
      ));
  await fetchHistory();
  return isSaved;
}

interface FieldChange {
  readonly field: ColumnField;
  readonly to: number | null;
}

async function saveLotCells(lotId: number, changes: readonly CellChange[]): Promise<boolean> {
  const own = changes.flatMap(({ key, to }): FieldChange[] => {
    const field = fields.value.find(({ column }) => column === key);
    return field === undefined || typeof to === "string" ? [] : [{ field, to }];
  });
  const isResult = ({ field }: FieldChange) => savedHistory.value?.results.includes(field.column) === true;
  const card = await fetchCard(lotId);
  for (const stage of new Set(own.flatMap(({ field }) => field.stage ?? []))) {
    const ofStage = own.filter((change) => !isResult(change) && change.field.stage === stage);
    if (ofStage.length === 0) continue;
    const kept = card.stages.find((s) => s.stage === stage) ?? null;
    const settings = ofStage.reduce(withSetting, kept?.settings ?? []);
    if (!(await saveStage(lotId, stage, { settings, note: kept?.note ?? "" }, kept))) return false;
  }
  for (const { field, to } of own.filter(isResult)) {
    const kept = card.results.findLast((r) => r.name === field.name && r.stage === field.stage) ?? null;
    if (!(await saveOne(lotId, { field, to }, kept))) return false;
  }
  return true;
}

function withSetting(settings: readonly StageSetting[], { field, to }: FieldChange): readonly StageSetting[] {
  const { name, unit } = field;
  const others = settings.filter((s) => s.name !== name || s.unit !== unit);
  return to === null ? others : [...others, { name, unit, value: String(to) }];
}

function saveOne(lotId: number, { field, to }: FieldChange, kept: SavedResult | null): Promise<boolean> {
  if (to === null) return kept === null ? Promise.resolve(true) : remove("results", kept, "");
  const result: NewResult = {
    stage: kept?.stage ?? field.stage,
    name: field.name,
    value: to,
    unit: field.unit,
    uncertainty: kept?.uncertainty ?? null,
    note: kept?.note ?? "",
  };
  return saveResult(lotId, result, kept);
}
