import { usualPriors } from "#model/mill/trials/priors.ts";
import { NumberField } from "../parts/numberField.tsx";
import { believe, believed, isBeliefEdited, keepBeliefs } from "../state/beliefs.ts";
import { law } from "../state/wheel.ts";

/** How D50 moves with each factor, what that rests on, and what was believed beforehand: every belief can be changed. */
export function LawTable() {
  const rows = law.value;
  if (rows === null) return null;
  const plain = (v: number) => `${v < 0 ? "−" : ""}${Math.abs(v).toFixed(2)}`;
  return (
    <details>
      <summary>More gas or more wheel? How D50 moves, and what that rests on</summary>
      <div class="scroll">
        <table>
          <caption class="quiet">
            D50 goes with each factor to this power: at −1, 1 % more makes D50 1 % finer. "Before" is what is
            believed without trials, a judgement of ours; "by physics" is how the wheel's cut alone would go.
          </caption>
          <thead>
            <tr>
              <th scope="col">Factor</th>
              <th scope="col">Before</th>
              <th scope="col">Now</th>
              <th scope="col">1 % more makes D50</th>
              <th scope="col">Rests on</th>
              <th scope="col">By physics</th>
            </tr>
          </thead>
          <tbody>
            {rows.map((e) => (
              <tr key={e.factor}>
                <th scope="row">{e.factor}</th>
                <td class="number">
                  {plain(e.prior.mean)} ± {plain(e.prior.sd)}
                </td>
                <td class="number">
                  {plain(e.now.mean)} ± {plain(e.now.sd)}
                </td>
                <td>
                  {Math.abs(e.now.mean).toFixed(2)} % {e.now.mean < 0 ? "finer" : "coarser"}
                </td>
                <td>{e.restsOn}</td>
                <td class="number">{e.physics === null ? "–" : plain(e.physics)}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </div>
      <p class="quiet">What is believed before any trial, assumed until you change it:</p>
      <Beliefs />
    </details>
  );
}

function Beliefs() {
  const b = believed.value;

  return (
    <p>
      {(["speed", "flow", "feed"] as const).map((factor) => (
        <span key={factor}>
          <NumberField
            label={`${factor === "flow" ? "Gas flow" : factor === "feed" ? "Feed" : "Speed"} exponent`}
            unit=""
            value={b[factor].mean}
            onChange={(v) => {
              if (v !== null) believe({ [factor]: { ...b[factor], mean: v } });
            }}
          />
          <NumberField
            label="give or take"
            unit=""
            value={b[factor].sd}
            onChange={(v) => {
              if (v !== null && v > 0) believe({ [factor]: { ...b[factor], sd: v } });
            }}
          />
        </span>
      ))}
      <NumberField
        label="D50 over the wheel's cut"
        unit=""
        value={b.medianOverCut}
        onChange={(v) => {
          if (v !== null && v > 0) believe({ medianOverCut: v });
        }}
      />
      <NumberField
        label="Run-to-run scatter of D50"
        unit="%"
        value={Number((100 * b.noise).toPrecision(3))}
        onChange={(v) => {
          if (v !== null && v > 0) believe({ noise: v / 100 });
        }}
      />
      <NumberField
        label="give or take a factor of"
        unit=""
        value={Number(Math.exp(b.medianSd).toPrecision(3))}
        onChange={(v) => {
          if (v !== null && v > 1) believe({ medianSd: Math.log(v) });
        }}
      />
      <button type="button" onClick={() => believe(usualPriors)}>
        As it was
      </button>
      <button type="button" disabled={!isBeliefEdited.value} onClick={() => void keepBeliefs()}>
        Keep these with the mill
      </button>
    </p>
  );
}
