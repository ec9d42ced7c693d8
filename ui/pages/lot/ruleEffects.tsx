import { figures } from "#ui/parts/format.ts";
import { Wide } from "#ui/parts/wide.tsx";
import { ruleEffects, ruleInForce } from "./sizesState.ts";

/** What the choice of in-class rule changes: percentiles hardly, means and area of wide classes a little. */
export function RuleEffects() {
  return (
    <>
      <h3>Effect of the in-class rule</h3>
      <p class="quiet">
        The rule says how powder is assumed to lie within a size class. Log-uniform is the default; the others
        reproduce published tables.
      </p>
      <Wide name="Effect of the in-class rule">
        <table>
          <caption class="quiet">Mean over the runs; sizes in µm, area in m²/g</caption>
          <thead>
            <tr>
              <th scope="col">Rule</th>
              <th scope="col">D[4,3]</th>
              <th scope="col">D[3,2]</th>
              <th scope="col">D[1,0]</th>
              <th scope="col">Area</th>
            </tr>
          </thead>
          <tbody>
            {ruleEffects.value.map((effect) => (
              <tr key={effect.rule}>
                <th scope="row">
                  {effect.rule}
                  {effect.rule === ruleInForce.value ? " (in use)" : ""}
                </th>
                <td class="number">{figures(effect.deBrouckereUm)}</td>
                <td class="number">{figures(effect.sauterUm)}</td>
                <td class="number">{figures(effect.numberMeanUm)}</td>
                <td class="number">{figures(effect.surfaceM2PerG)}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </Wide>
    </>
  );
}
