import { linkTo } from "#ui/data/address.ts";
import { trials } from "#ui/data/entries.ts";
import { figures } from "#ui/parts/format.ts";
import { Wide } from "#ui/parts/wide.tsx";
import { fittedMill, movedTrials } from "./wheel.ts";

/** The trials as measured, each with its deviation from what the other trials predict. */
export function TrialTable() {
  const show = (v: number | null | undefined) => (v === null || v === undefined ? "–" : figures(v));
  const z = fittedMill.value?.fit.leaveOneOutZ ?? [];
  return (
    <details>
      <summary>Trials: {trials.value.length}</summary>
      <Wide name="Trials">
        <table>
          <caption class="quiet">
            As measured. Adjusted D50: at the flow and feed of the plan, as drawn. Deviation z: standard
            deviations by which the trial lies above (+) or below (−) the prediction from the other trials;
            beyond ±3.5 it is named and nothing is predicted.
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
              <th scope="col">Adjusted D50, µm</th>
              <th scope="col">Deviation z</th>
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
                <td>{t.curve === null ? "–" : "saved"}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </Wide>
      <p>
        <a href={linkTo({ page: "equipment" })}>Add, edit or exclude trials</a>
      </p>
    </details>
  );
}
