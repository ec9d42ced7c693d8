import { listed } from "#model/answers/wording.ts";
import { separatorPicture } from "#model/pictures/separator.ts";
import { marked } from "../charts/chartMarks.ts";
import { LineChart } from "../charts/lineChart.tsx";
import { ErrorBoundary } from "../parts/errorBoundary.tsx";
import { NumberField } from "../parts/numberField.tsx";
import { enterStream, fineYieldPercent, missing, streams, yieldFault } from "../state/streams.ts";
import { CurveEntry } from "./curveEntry.tsx";

/** Three measured streams of a separator, made to agree, and what it parts. */
export function Streams() {
  return (
    <details>
      <summary>Stream balance: feed, fines and coarse of a separator</summary>
      <p class="quiet">
        Measure what goes into a separator and both powders that leave it, at one setting. Their balance gives
        the share of each size that is thrown back.
      </p>
      <CurveEntry label="Feed (paste its table)" onChange={(c) => enterStream("feed", c)} />
      <CurveEntry label="Fines (paste their table)" onChange={(c) => enterStream("fines", c)} />
      <CurveEntry label="Coarse (paste its table)" onChange={(c) => enterStream("coarse", c)} />
      <NumberField
        label="Fine yield, if weighed"
        unit="%"
        value={fineYieldPercent.value}
        mayBeEmpty
        fault={yieldFault.value}
        onChange={(v) => {
          fineYieldPercent.value = v;
        }}
      />
      <ErrorBoundary what="The stream balance">
        <Found />
      </ErrorBoundary>
    </details>
  );
}

function Found() {
  const answer = streams.value;
  if (answer === null)
    return (
      <p class="quiet">
        {missing.value.length > 0 ? `Still missing: ${listed(missing.value)}.` : "Correct the fine yield."}
      </p>
    );
  const picture = answer.reconciled === null ? null : separatorPicture(answer.reconciled, answer.efficiency);
  return (
    <>
      <p class="lead" aria-live="polite">
        {answer.sentence}
      </p>
      {answer.warnings.length > 0 && (
        <ul class="problems">
          {answer.warnings.map((w) => (
            <li key={w}>{w}</li>
          ))}
        </ul>
      )}
      {picture !== null && (
        <LineChart
          finding={answer.sentence}
          height={260}
          x={{
            label: "size, µm",
            range: [picture.sizesUm[0] ?? 0.1, picture.sizesUm.at(-1) ?? 100],
            log: true,
            show: (v) => `${Number(v.toPrecision(3))} µm`,
          }}
          y={{ label: "% thrown back", range: [0, 100], show: (v) => `${Number(v.toPrecision(3))} %` }}
          xs={picture.sizesUm}
          lines={[{ key: "back", label: "fitted", stroke: "median", values: picture.fitted }]}
          over={marked(picture.points.map((p) => ({ kind: "point" as const, ...p, small: true })))}
        />
      )}
    </>
  );
}
