import { curveOf, sizeAt } from "#distributions/curve.ts";
import { separatorPicture } from "#model/pictures/separator.ts";
import { listed } from "#model/words/wording.ts";
import { marked } from "#ui/charts/chartMarks.ts";
import { LineChart } from "#ui/charts/lineChart.tsx";
import { balances } from "#ui/data/entries.ts";
import { remove } from "#ui/data/saving.ts";
import { Choice } from "#ui/parts/choice.tsx";
import { CurveEntry } from "#ui/parts/curveEntry.tsx";
import { ErrorBoundary } from "#ui/parts/errorBoundary.tsx";
import { figures } from "#ui/parts/format.ts";
import { NumberField } from "#ui/parts/numberField.tsx";
import { ProblemList } from "#ui/parts/problemList.tsx";
import { TextField } from "#ui/parts/textField.tsx";
import { WithReason } from "#ui/parts/withReason.tsx";
import {
  areStreamsRead,
  balance,
  chooseBalance,
  enterBalance,
  enterStream,
  isBalanceEdited,
  missing,
  type StreamName,
  saveBalance,
  savedBalance,
  streamNames,
  streams,
  streamsByVolume,
  yieldFault,
} from "./streamBalanceState.ts";

/** Three measured streams of a separator, reconciled, and its grade efficiency. */
export function StreamBalance() {
  const { fineYield } = balance.value;
  return (
    <>
      <p class="quiet">
        Measure the feed of a separator and its fine and coarse streams at one setting. Their balance gives
        the grade efficiency: the share of each size that goes to the coarse stream.
      </p>
      <BalanceChoice />
      {streamNames.map((name) => (
        <Stream key={`${name} ${savedBalance.value?.id} ${savedBalance.value?.version}`} name={name} />
      ))}
      <NumberField
        label="Fine yield, if weighed"
        unit="%"
        value={fineYield === null ? null : Number((100 * fineYield).toPrecision(6))}
        mayBeEmpty
        fault={yieldFault.value}
        onChange={(v) => enterBalance({ fineYield: v === null ? null : v / 100 })}
      />
      <ProblemList problems={streamsByVolume.value.problems} />
      <ErrorBoundary what="The stream balance">
        <Found />
      </ErrorBoundary>
    </>
  );
}

const labels: Readonly<Record<StreamName, string>> = {
  feed: "Feed (paste its table)",
  fines: "Fines (paste their table)",
  coarse: "Coarse (paste its table)",
};

function Stream({ name }: { name: StreamName }) {
  const now = balance.value[name];
  return (
    <>
      <CurveEntry label={labels[name]} onChange={(c) => enterStream(name, c)} />
      {now !== null && (
        <p class="quiet">
          Saved {name}: {now.shares.length} classes, D50 {figures(sizeAt(curveOf(now), 0.5) ?? 0)} µm.
        </p>
      )}
    </>
  );
}

/** Which balance is shown, and saving it. */
function BalanceChoice() {
  const saved = savedBalance.value;
  const { name } = balance.value;
  return (
    <p>
      {balances.value.length > 0 && (
        <Choice
          label="Balance"
          value={String(saved?.id ?? 0)}
          options={[...balances.value.map((b) => String(b.id)), "0"]}
          say={(id) => balances.value.find((b) => String(b.id) === id)?.name ?? "new balance"}
          onChange={(id) => chooseBalance(Number(id))}
        />
      )}
      <TextField label="Name of the balance" value={name} onChange={(v) => enterBalance({ name: v })} />
      <button
        type="button"
        disabled={
          !isBalanceEdited.value || !areStreamsRead.value || name.trim() === "" || yieldFault.value !== null
        }
        onClick={() => void saveBalance()}
      >
        Save the balance
      </button>
      {saved !== null && (
        <WithReason verb="Delete" of={saved.name} onDone={(why) => remove("balances", saved, why)} />
      )}
    </p>
  );
}

function Found() {
  const answer = streams.value;
  if (answer === null)
    return (
      <p class="quiet">
        {missing.value.length > 0 ? `Still needed: ${listed(missing.value)}.` : "Correct the fine yield."}
      </p>
    );
  const picture = answer.reconciled === null ? null : separatorPicture(answer.reconciled, answer.efficiency);
  return (
    <>
      <p class="lead" aria-live="polite">
        {answer.sentence}
      </p>
      {answer.warnings.length > 0 && (
        <ul class="problems">
          {answer.warnings.map((w) => (
            <li key={w}>{w}</li>
          ))}
        </ul>
      )}
      {picture !== null && (
        <LineChart
          finding={answer.sentence}
          height={260}
          x={{
            label: "size, µm",
            range: [picture.sizesUm[0] ?? 0.1, picture.sizesUm.at(-1) ?? 100],
            log: true,
            show: (v) => `${Number(v.toPrecision(3))} µm`,
          }}
          y={{ label: "% to coarse", range: [0, 100], show: (v) => `${Number(v.toPrecision(3))} %` }}
          xs={picture.sizesUm}
          lines={[{ key: "back", label: "fitted", stroke: "median", values: picture.fitted }]}
          over={marked(picture.points.map((p) => ({ kind: "point" as const, ...p, small: true })))}
        />
      )}
    </>
  );
}
