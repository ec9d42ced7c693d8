import { useEffect } from "preact/hooks";
import type { HistoryAnswer } from "#model/answers/factors/historyAnswer.ts";
import { stages } from "#model/lot/stages.ts";
import { lotChart } from "#model/pictures/lotChart.ts";
import { PictureFigure } from "#ui/charts/picture.tsx";
import { lots } from "#ui/data/entries.ts";
import { belowUm } from "#ui/data/selection.ts";
import { Choice } from "#ui/parts/choice.tsx";
import { figures, unbroken } from "#ui/parts/format.ts";
import { HowFound } from "#ui/parts/howFound.tsx";
import { NumberField } from "#ui/parts/numberField.tsx";
import { Wide } from "#ui/parts/wide.tsx";
import { Effects } from "./effects.tsx";
import {
  answer,
  charted,
  chartedName,
  chartedNames,
  fetchHistory,
  historyStage,
  labelOf,
  resultEffects,
  savedHistory,
  trouble,
} from "./lotHistoryState.ts";

/** A stage over the kept lots: whether it is steady, what goes with its settings, and what other results go with. */
export function LotHistory() {
  const all = lots.value;
  useEffect(() => void fetchHistory(), [historyStage.value, belowUm.value, all]);
  const found = answer.value;
  const [chart] = found?.charts ?? [];
  return (
    <section aria-labelledby="history">
      <h2 id="history">History</h2>
      {trouble.value !== null && (
        <p role="alert" class="problem">
          {trouble.value}
        </p>
      )}
      <p class="lead" role="status" data-history>
        {chart === undefined ? "Fetching the lots …" : unbroken(chart.sentence)}
      </p>
      <Choice
        label="Of the stage"
        value={historyStage.value}
        options={stages}
        onChange={(stage) => {
          historyStage.value = stage;
        }}
      />
      {chartedNames.value.length > 0 && (
        <Choice
          label="Charted"
          value={chartedName.value}
          options={chartedNames.value}
          onChange={(name) => {
            charted.value = name;
          }}
        />
      )}
      <NumberField
        label="Fines below"
        unit="µm"
        value={belowUm.value}
        min={0.001}
        onChange={(v) => {
          if (v !== null && v > 0) belowUm.value = v;
        }}
      />
      {found !== null && (
        <HowFound
          of={["history of a result", "line through results"]}
          inputs={[`Of the stage ${historyStage.value}.`]}
        >
          <Chart />
        </HowFound>
      )}
      {(found !== null || trouble.value !== null) && <WhatGoesWithIt />}
    </section>
  );
}

/** What the sizes of the lots go with: the settings they were made at, and what else was found of them. */
function WhatGoesWithIt() {
  const effects = answer.value?.effects ?? [];
  return (
    <>
      <h3>What goes with the settings</h3>
      {effects.length === 0 ? (
        <p class="lead">
          No lot notes a setting as a number yet. Temperature, time, excess and dopant level are noted on the
          lot card.
        </p>
      ) : (
        <Effects key={chartedName.value} effects={effects} name="Settings" />
      )}
      <h3>Other results against area and fines</h3>
      {resultEffects.value.length === 0 ? (
        <p class="lead">No other result of these lots is noted yet; that is done on the lot card.</p>
      ) : (
        <Effects effects={resultEffects.value} name="Other results" />
      )}
      {(savedHistory.value?.damaged ?? []).map((d) => (
        <p key={d.message} role="alert" class="problem">
          {d.message}
        </p>
      ))}
    </>
  );
}

function captionOf({ target, chart }: Charted): string {
  return [
    target === null ? "" : "Sand-coloured ground: the target of the band chosen on the band check.",
    chart === null
      ? ""
      : "Thin lines: the limits, three mean moving ranges / 1.128 either side of the mean, dashed.",
    "A filled dot lies outside the target or completes a rule.",
  ]
    .filter((part) => part !== "")
    .join(" ");
}

type Charted = HistoryAnswer["charts"][number];

function Chart() {
  const [shown] = answer.value?.charts ?? [];
  if (shown === undefined) return null;
  const column = savedHistory.value?.columns.find((c) => c.name === shown.name)?.values ?? [];
  const values = column.filter((v) => v !== null);
  const { chart, lots: named } = shown;
  const hitsAt = (i: number) => chart?.hits.filter((h) => h.at === i) ?? [];
  return (
    <>
      <PictureFigure
        draw={(width) =>
          lotChart(values, named, chart, {
            label: labelOf(shown.name),
            name: shown.sentence,
            target: shown.target,
            width,
          })
        }
        caption={captionOf(shown)}
      />
      {named.length > 0 && (
        <details>
          <summary>The values, lot by lot</summary>
          <Wide name="Values lot by lot">
            <table>
              <thead>
                <tr>
                  <th scope="col">Lot</th>
                  <th scope="col">{labelOf(shown.name)}</th>
                  <th scope="col">Rules</th>
                </tr>
              </thead>
              <tbody>
                {named.map((lot, i) => (
                  <tr key={`${lot} ${i}`}>
                    <th scope="row">{lot}</th>
                    <td class="number">{figures(values[i] ?? null)}</td>
                    <td>
                      {hitsAt(i)
                        .map((h) => `${h.rule}, ${h.side}`)
                        .join("; ")}
                    </td>
                  </tr>
                ))}
              </tbody>
            </table>
          </Wide>
        </details>
      )}
    </>
  );
}
