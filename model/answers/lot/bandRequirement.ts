import { type Band, type BandRow, judgedEnvelope } from "#model/band/band.ts";
import { limitWords, nameInside, statisticText } from "#model/band/limits.ts";
import { counted, figures, listed } from "#model/words/wording.ts";

/** As many limits as a heading has room for. */
const maxNamed = 3;

/** "Garnet target for re-fired powder requires D10 1.65–2.05 µm, D50 3.10–3.65 µm, the span at most 1.3 and four more limits." */
export function bandRequirement(
  band: Pick<Band, "name" | "stage" | "rows" | "envelope" | "envelopeUse">,
): string {
  const { name, stage, rows } = band;
  const named = rows.slice(0, maxNamed).map(requirementText);
  const others = rows.length - named.length;
  const all = [
    ...named,
    ...(others > 0 ? [counted(others, "more limit")] : []),
    ...(named.length === 0 && judgedEnvelope(band) !== null ? ["a curve within its envelope"] : []),
  ];
  return all.length === 0
    ? `${name} has no limits yet.`
    : `${name}${stage === "" ? "" : ` for ${stage} powder`} requires ${listed(all)}.`;
}

function requirementText(row: BandRow): string {
  const { unit, factor } = limitWords(row);
  const limits = statisticText(row, (limit) => figures(limit * factor));
  return `${nameInside(row)} ${limits} ${unit}`.trim();
}
