import { figures, listed } from "#model/words/wording.ts";
import type { LabRow, NotedStage } from "./labRow.ts";

/** What a row of a lab's table becomes, in words; with the curve files that go with it. */
export function rowWords(row: LabRow, curves: readonly string[]): string {
  const { place, faults, stages, results, dateMade } = row;
  if (faults.length > 0)
    return `left out: ${faults.map(({ found }) => `"${found}"`).join(", ")} cannot stand`;
  if (place.question !== null) return `left out: ${place.question}`;
  const found = results.map(({ name, value, unit, stage }) =>
    `${name} ${figures(value)} ${unit}`.trim().concat(stage === null ? "" : ` of ${stage}`),
  );
  const isStated = results.some(({ name }) => name.startsWith("stated D"));
  const parts = [
    place.lotId === null ? "a new lot" : null,
    dateMade === null ? null : `made ${dateMade}`,
    ...stages.map(stageWords),
    ...found,
    ...curves,
    isStated && curves.length === 0
      ? "percentiles without a curve are kept as results, and no band judges them"
      : null,
  ].filter((part) => part !== null);
  return parts.length === 0 ? "nothing new" : parts.join("; ");
}

function stageWords({ stage, settings, note, date, massInG, massOutG }: NotedStage): string {
  const noted = [
    ...settings.map(({ name, value, unit }) => `${name} ${value} ${unit}`.trim()),
    date === null ? null : date,
    massInG === null ? null : `in ${figures(massInG)} g`,
    massOutG === null ? null : `out ${figures(massOutG)} g`,
    note === "" ? null : `"${note}"`,
  ].filter((part) => part !== null);
  return `${stage}: ${listed(noted)}`;
}
