import { NumberField } from "#ui/parts/numberField.tsx";
import { Wide } from "#ui/parts/wide.tsx";
import { enterPriors, priorsInForce } from "./priors.ts";
import { SavePriors } from "./savePriors.tsx";
import { regression } from "./wheel.ts";

/** How D50 moves with each factor, what that rests on, and what was believed beforehand: every belief can be changed. */
export function RegressionTable() {
  const rows = regression.value;
  if (rows === null) return null;
  const plain = (v: number) => `${v < 0 ? "−" : ""}${Math.abs(v).toFixed(2)}`;
  return (
    <details>
      <summary>More gas or more wheel? How D50 moves, and what that rests on</summary>
      <Wide name="What D50 goes with">
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
      </Wide>
      <p class="quiet">What is believed before any trial, assumed until you change it:</p>
      <Beliefs />
    </details>
  );
}

/** What is believed before any trial, every number of it. */
function Beliefs() {
  const b = priorsInForce.value;
  return (
    <p>
      {(["speed", "flow", "feed", "width"] as const).map((name) => (
        <BeliefFields key={name} name={name} />
      ))}
      <Field
        label="Widths may move with a setting by the power"
        value={b.widthSlopeSd}
        onPositive={(v) => enterPriors({ widthSlopeSd: v })}
      />
      <Field
        label="D50 over the wheel's cut"
        value={b.medianOverCut}
        onPositive={(v) => enterPriors({ medianOverCut: v })}
      />
      <Field
        label="give or take a factor of"
        value={Number(Math.exp(b.medianSd).toPrecision(3))}
        onPositive={(v) => {
          if (v > 1) enterPriors({ medianSd: Math.log(v) });
        }}
      />
      <Field
        label="Run-to-run scatter of D50"
        unit="%"
        value={Number((100 * b.noise).toPrecision(3))}
        onPositive={(v) => enterPriors({ noise: v / 100 })}
      />
      <SavePriors />
    </p>
  );
}

const beliefNames = {
  speed: "Speed exponent",
  flow: "Gas flow exponent",
  feed: "Feed exponent",
  width: "ln(D90/D50) and ln(D50/D10)",
} as const;

function BeliefFields({ name }: { name: keyof typeof beliefNames }) {
  const belief = priorsInForce.value[name];
  return (
    <span>
      <NumberField
        label={beliefNames[name]}
        unit=""
        value={belief.mean}
        onChange={(v) => {
          if (v !== null) enterPriors({ [name]: { ...belief, mean: v } });
        }}
      />
      <Field
        label="give or take"
        fullName={`${beliefNames[name]}, give or take`}
        value={belief.sd}
        onPositive={(v) => enterPriors({ [name]: { ...belief, sd: v } })}
      />
    </span>
  );
}

function Field(props: {
  label: string;
  fullName?: string;
  unit?: string;
  value: number;
  onPositive: (value: number) => void;
}) {
  const { onPositive, unit = "", ...rest } = props;
  return (
    <NumberField
      {...rest}
      unit={unit}
      onChange={(v) => {
        if (v !== null && v > 0) onPositive(v);
      }}
    />
  );
}
