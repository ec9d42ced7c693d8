import { fractions } from "#model/fines/conventions.ts";
import { density } from "#ui/data/selection.ts";
import { percent, range } from "#ui/parts/format.ts";
import { HowFound } from "#ui/parts/howFound.tsx";
import { NumberField } from "#ui/parts/numberField.tsx";
import { ProblemList } from "#ui/parts/problemList.tsx";
import { fines, shapeFactor } from "./sizesState.ts";

/** Inhalable, thoracic and respirable share of the bulk powder, as a planning figure. */
export function FineFractions() {
  const answer = fines.value;
  if (answer === null) return null;
  return (
    <section aria-labelledby="fines">
      <h2 id="fines">Fine fractions of the powder</h2>
      <p class="lead">{answer.sentence}</p>
      <p class="cautions">{answer.caution}</p>
      <NumberField
        label="Shape factor"
        unit=""
        value={shapeFactor.value}
        min={0.5}
        max={3}
        onChange={(v) => {
          if (v !== null && v > 0) shapeFactor.value = v;
        }}
      />
      <span class="quiet">
        1 for spheres, 1.1–1.4 for usual particles. Density {density.value} g/cm³; slip in air at 20 °C.
      </span>
      <HowFound
        of={["fine fractions", "aerodynamic diameter", "slip", "interval over runs"]}
        inputs={[`Density ${density.value} g/cm³, shape factor ${shapeFactor.value}.`]}
      >
        <table>
          <caption class="quiet">
            Mass share by the conventions of ISO 7708 and EN 481 (from memory), over the runs
          </caption>
          <tbody>
            {fractions.map((fraction) => {
              const over = answer.overRuns[fraction];
              return (
                <tr key={fraction}>
                  <th scope="row">{fraction}</th>
                  <td class="number">{percent(over.value)}</td>
                  <td class="quiet">
                    {over.low === null || over.high === null
                      ? "an interval needs three runs"
                      : range(100 * over.low, 100 * over.high, "%")}
                  </td>
                </tr>
              );
            })}
          </tbody>
        </table>
      </HowFound>
      <ProblemList problems={answer.problems} />
    </section>
  );
}
