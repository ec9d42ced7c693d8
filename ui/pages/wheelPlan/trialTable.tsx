import { trials } from "#ui/data/entries.ts";
import { EditTrials } from "#ui/pages/equipment/editTrials.tsx";
import { figures } from "#ui/parts/format.ts";
import { Wide } from "#ui/parts/wide.tsx";
import { fittedMill, movedTrials } from "./wheel.ts";

/** The trials as measured, each beside what the others would have foretold of it. */
export function TrialTable() {
  const show = (v: number | null | undefined) => (v === null || v === undefined ? "–" : figures(v));
  const z = fittedMill.value?.fit.leaveOneOutZ ?? [];
  return (
    <details>
      <summary>The {trials.value.length} trials</summary>
      <Wide name="Trials">
        <table>
          <caption class="quiet">
            As measured. "Moved" is D50 at the plan's flow and feed, as drawn. "Against the others" is z: how
            many standard deviations the trial lies above (+) or below (−) what the other trials foretell;
            beyond ±3.5 it is named and no answer is given.
          </caption>
          <thead>
            <tr>
              <th scope="col">Trial</th>
              <th scope="col">Speed, rpm</th>
              <th scope="col">Gas flow, m³/h</th>
              <th scope="col">Feed, kg/h</th>
              <th scope="col">D10, µm</th>
              <th scope="col">D50, µm</th>
              <th scope="col">D90, µm</th>
              <th scope="col">Moved, µm</th>
              <th scope="col">Against the others</th>
              <th scope="col">Curve</th>
            </tr>
          </thead>
          <tbody>
            {trials.value.map((t, i) => (
              <tr key={t.id}>
                <th scope="row">{t.name}</th>
                <td class="number">{show(t.trial.speedRpm)}</td>
                <td class="number">{show(t.trial.gasFlowM3PerH)}</td>
                <td class="number">{show(t.trial.feedKgPerH)}</td>
                <td class="number">{show(t.trial.d10Um)}</td>
                <td class="number">{show(t.trial.d50Um)}</td>
                <td class="number">{show(t.trial.d90Um)}</td>
                <td class="number">{show(movedTrials.value[i]?.d50MovedUm)}</td>
                <td class="number">
                  {z[i] === undefined ? "–" : `${z[i] < 0 ? "−" : "+"}${Math.abs(z[i]).toFixed(1)}`}
                </td>
                <td>{t.curve === null ? "–" : "whole curve"}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </Wide>
      <EditTrials />
    </details>
  );
}
