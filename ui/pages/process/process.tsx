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
} from "./historyState.ts";

/** A stage over the saved lots: whether it is steady, what the settings do to it, and how other results go with area and fines. */
export function Process() {
  const all = lots.value;
  useEffect(() => void fetchHistory(), [historyStage.value, belowUm.value, all]);
  const found = answer.value;
  const [chart] = found?.charts ?? [];
  return (
    <>
      <h1 aria-live="polite" data-history>
        {chart === undefined ? "Loading the lots …" : unbroken(chart.sentence)}
      </h1>
      {trouble.value !== null && (
        <p role="alert" class="problem">
          {trouble.value}
        </p>
      )}
      <Choice
        label="Stage"
        value={historyStage.value}
        options={stages}
        onChange={(stage) => {
          historyStage.value = stage;
        }}
      />
      {chartedNames.value.length > 0 && (
        <Choice
          label="Result charted"
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
      {(found !== null || trouble.value !== null) && <EffectsOfSettings />}
    </>
  );
}

/** How the sizes depend on the settings the lots were made at, and how other results go with area and fines. */
function EffectsOfSettings() {
  const effects = answer.value?.effects ?? [];
  return (
    <>
      <h2>Effect of the settings</h2>
      {effects.length === 0 ? (
        <p class="lead">
          No lot has a setting recorded as a number yet. Record temperature, time, excess and dopant level on
          the page Lot, under “Settings of each stage”.
        </p>
      ) : (
        <Effects key={chartedName.value} effects={effects} name="Settings" />
      )}
      <h2>Other results against area and fines</h2>
      {resultEffects.value.length === 0 ? (
        <p class="lead">
          No other results are recorded for these lots yet. Record them on the page Lot, under “Results”.
        </p>
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
    target === null ? "" : "Sand-coloured area: target band chosen on the page Lot.",
    chart === null
      ? ""
      : "Dashed line: mean. Thin lines: control limits, mean ± 3 × mean moving range / 1.128.",
    "Filled dots are outside the target or complete a control-chart rule.",
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
          <summary>Values by lot</summary>
          <Wide name="Values by lot">
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
