import { computed } from "@preact/signals";
import { exponentsOf } from "#model/mill/trials/exponents.ts";
import { millInUse as mill } from "#ui/data/knownOfMill.ts";
import { NumberField } from "#ui/parts/numberField.tsx";
import { Wide } from "#ui/parts/wide.tsx";
import { enterPriors, priorsInForce } from "./priors.ts";
import { SavePriors } from "./savePriors.tsx";
import { fittedMill } from "./wheel.ts";

/** How D50 moves with each factor, and what that rests on. */
const regression = computed(() =>
  mill.value === null || fittedMill.value === null
    ? null
    : exponentsOf(mill.value.mill, fittedMill.value.fit),
);

/** How D50 depends on each factor, what that rests on, and the priors: each can be changed. */
export function RegressionTable() {
  const rows = regression.value;
  if (rows === null) return null;
  const plain = (v: number) => `${v < 0 ? "−" : ""}${Math.abs(v).toFixed(2)}`;
  return (
    <details>
      <summary>Regression: how D50 depends on speed, flow and feed</summary>
      <Wide name="Exponents of D50">
        <table>
          <caption class="quiet">
            D50 is proportional to each factor to this exponent: at −1, 1 % more makes D50 1 % finer. Prior:
            assumed before any trial. Calculated cut: exponent of the classifier cut alone.
          </caption>
          <thead>
            <tr>
              <th scope="col">Factor</th>
              <th scope="col">Prior</th>
              <th scope="col">Fitted</th>
              <th scope="col">Effect of 1 % more on D50</th>
              <th scope="col">Basis</th>
              <th scope="col">Calculated cut</th>
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
      <p class="quiet">Priors, assumed until you change them:</p>
      <PriorFields />
    </details>
  );
}

/** The priors, every number of them. */
function PriorFields() {
  const b = priorsInForce.value;
  return (
    <p>
      {(["speed", "flow", "feed", "width"] as const).map((name) => (
        <ExponentPrior key={name} name={name} />
      ))}
      <Field
        label="SD of the exponent of the widths"
        value={b.widthSlopeSd}
        onPositive={(v) => enterPriors({ widthSlopeSd: v })}
      />
      <Field
        label="D50 over calculated cut"
        value={b.medianOverCut}
        onPositive={(v) => enterPriors({ medianOverCut: v })}
      />
      <Field
        label="within a factor of"
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

const priorNames = {
  speed: "Speed exponent",
  flow: "Gas flow exponent",
  feed: "Feed exponent",
  width: "ln(D90/D50) and ln(D50/D10)",
} as const;

function ExponentPrior({ name }: { name: keyof typeof priorNames }) {
  const prior = priorsInForce.value[name];
  return (
    <span>
      <NumberField
        label={priorNames[name]}
        unit=""
        value={prior.mean}
        onChange={(v) => {
          if (v !== null) enterPriors({ [name]: { ...prior, mean: v } });
        }}
      />
      <Field
        label="SD"
        fullName={`${priorNames[name]}, SD`}
        value={prior.sd}
        onPositive={(v) => enterPriors({ [name]: { ...prior, sd: v } })}
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
