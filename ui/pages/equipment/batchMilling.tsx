import { LineChart } from "#ui/charts/lineChart.tsx";
import { goTo } from "#ui/data/address.ts";
import { lot } from "#ui/data/selection.ts";
import { Choice } from "#ui/parts/choice.tsx";
import { ErrorBoundary } from "#ui/parts/errorBoundary.tsx";
import { figures } from "#ui/parts/format.ts";
import { LotChoice } from "#ui/parts/lotChoice.tsx";
import { NumberField } from "#ui/parts/numberField.tsx";
import {
  batch,
  batchFault,
  chooseStart,
  course,
  enterBatch,
  isBatchEdited,
  saveBatch,
  startChoices,
  startStage,
} from "./batchMillingState.ts";

const fields = [
  { name: "afterMin", label: "Sampled after", unit: "min", mayBeEmpty: true },
  { name: "d50AfterUm", label: "D50 of the sample", unit: "µm", mayBeEmpty: true },
  { name: "targetD50Um", label: "Target D50 of the batch", unit: "µm", mayBeEmpty: true },
  { name: "rateExponent", label: "Exponent of breakage rate on size", unit: "", mayBeEmpty: false },
  { name: "fragmentExponent", label: "Exponent of the breakage function", unit: "", mayBeEmpty: false },
] as const;

/** A batch mill: how the powder gets finer with time, and how long to a target. */
export function BatchMilling() {
  return (
    <>
      <p>
        <LotChoice
          label="Lot"
          value={lot.value?.id ?? null}
          onChange={(lotId) => goTo({ page: "equipment", lotId, stage: null })}
        />
        {startStage.value !== null && (
          <Choice
            label="Start from"
            value={startStage.value}
            options={startChoices.value}
            onChange={chooseStart}
          />
        )}
        {fields.map(({ name, label, unit, mayBeEmpty }) => (
          <NumberField
            key={name}
            label={label}
            unit={unit}
            value={batch.value[name]}
            mayBeEmpty={mayBeEmpty}
            fault={batchFault(name)}
            onChange={(v) => {
              if (v !== null || mayBeEmpty) enterBatch({ [name]: v });
            }}
          />
        ))}
        <button
          type="button"
          disabled={!isBatchEdited.value || fields.some(({ name }) => batchFault(name) !== null)}
          onClick={() => void saveBatch()}
        >
          Save the batch with the lot
        </button>
      </p>
      <ErrorBoundary what="The batch">
        <Course />
      </ErrorBoundary>
    </>
  );
}

function Course() {
  const answer = course.value;
  if (startStage.value === null)
    return <p class="quiet">The lot has no measured stage to start a batch from.</p>;
  if (answer === null)
    return (
      <p class="quiet">
        Enter the time of one sample and its D50: the grinding rate follows from them. Both exponents are
        assumptions until you change them.
      </p>
    );
  const { course: steps } = answer;
  const sizes = steps.flatMap((s) => [s.d10Um, s.d90Um]).filter((v) => v !== null);
  return (
    <>
      <p class="lead" aria-live="polite">
        {answer.sentence}
      </p>
      {steps.length > 0 && (
        <LineChart
          finding={answer.sentence}
          height={260}
          x={{
            label: "minutes",
            range: [0, steps.at(-1)?.minutes ?? 1],
            show: (v) => `${figures(v)} min`,
          }}
          y={{
            label: "size, µm",
            range: [Math.min(...sizes) / 1.2, Math.max(...sizes) * 1.2],
            log: true,
            show: (v) => `${figures(v)} µm`,
          }}
          xs={steps.map((s) => s.minutes)}
          lines={[
            { key: "d90", label: "D90", stroke: "stage-1", values: steps.map((s) => s.d90Um) },
            { key: "d50", label: "D50", stroke: "median", values: steps.map((s) => s.d50Um) },
            { key: "d10", label: "D10", stroke: "stage-2", values: steps.map((s) => s.d10Um) },
          ]}
        />
      )}
      {steps.length > 0 && (
        <p class="quiet">
          Upper, middle and lower line: D90, D50 and D10. Checked against exact solutions, not against
          published mill runs.
        </p>
      )}
    </>
  );
}
