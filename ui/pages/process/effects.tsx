import { useState } from "preact/hooks";
import { type Effect, minLotsForEffect } from "#model/answers/factors/historyAnswer.ts";
import { effectPicture } from "#model/pictures/effectPicture.ts";
import { PictureFigure } from "#ui/charts/picture.tsx";
import { Choice } from "#ui/parts/choice.tsx";
import { signed, unbroken } from "#ui/parts/format.ts";
import { Wide } from "#ui/parts/wide.tsx";
import { labelOf, pointsOf } from "./historyState.ts";

/** Slopes over the lots: the chosen pair in words and as a picture, then all of them with their slopes. */
export function Effects({ effects, name }: { effects: readonly Effect[]; name: string }) {
  const [chosen, setChosen] = useState<string | null>(null);
  const keyOf = (e: Effect) => `${e.of} against ${e.factor}`;
  const keys = effects.map(keyOf);
  const shown = effects.find((e) => keyOf(e) === chosen) ?? effects[0];
  if (shown === undefined) return null;
  const points = pointsOf(shown.of, shown.factor);
  return (
    <>
      <p class="lead" data-effect={name}>
        {unbroken(shown.sentence)}
      </p>
      <Choice label="Show" value={keyOf(shown)} options={keys} onChange={setChosen} />
      <PictureFigure
        draw={(width) =>
          effectPicture(points, shown.line, {
            xLabel: labelOf(shown.factor),
            yLabel: labelOf(shown.of),
            name: shown.sentence,
            width,
          })
        }
        caption={`Each dot is a lot. The line needs at least ${minLotsForEffect} lots.`}
      />
      <Wide name={`${name}, all slopes`}>
        <table>
          <thead>
            <tr>
              <th scope="col">Result</th>
              <th scope="col">Against</th>
              <th scope="col">Lots</th>
              <th scope="col">Slope</th>
              <th scope="col">95 % interval</th>
              <th scope="col">Finding</th>
            </tr>
          </thead>
          <tbody>
            {effects.map((e) => (
              <tr key={keyOf(e)}>
                <th scope="row">{e.of}</th>
                <td>{e.factor}</td>
                <td class="number">{e.lots}</td>
                <td>{e.line === null ? "–" : signed(e.line.slope, e.per)}</td>
                <td>
                  {e.line === null
                    ? "–"
                    : `${signed(e.line.slopeInterval.low, "").trim()} to ${signed(e.line.slopeInterval.high, "").trim()}`}
                </td>
                <td>{e.verdict}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </Wide>
    </>
  );
}
