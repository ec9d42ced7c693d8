import type { Band, BandRow } from "#model/band/band.ts";
import { limitWords, nameInside, statisticText } from "#model/band/limits.ts";
import { counted, figures, listed } from "#model/words/wording.ts";

/** As many limits as a heading bears. */
const mostTold = 3;

/** "Garnet target asks of re-fired powder D10 1.65–2.05 µm, D50 3.10–3.65 µm and five limits more." */
export function bandSentence({
  name,
  stage,
  rows,
  envelope,
}: Pick<Band, "name" | "stage" | "rows" | "envelope">): string {
  const told = rows.slice(0, mostTold).map(askText);
  const more = rows.length - told.length;
  const all = [
    ...told,
    ...(more > 0 ? [`${counted(more, "limit")} more`] : []),
    ...(told.length === 0 && envelope !== null ? ["a curve inside its envelope"] : []),
  ];
  return all.length === 0 ? `${name} asks nothing yet.` : `${name} asks of ${stage} powder ${listed(all)}.`;
}

function askText(row: BandRow): string {
  const { unit, factor } = limitWords(row);
  const asked = statisticText(row, (limit) => figures(limit * factor));
  return `${nameInside(row)} ${asked} ${unit}`.trim();
}
