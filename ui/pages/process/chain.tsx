import type { ChainStepAnswer } from "#model/answers/factors/chainAnswer.ts";
import { figures, unbroken } from "#ui/parts/format.ts";
import { HowFound } from "#ui/parts/howFound.tsx";
import { NumberField } from "#ui/parts/numberField.tsx";
import { ProblemList } from "#ui/parts/problemList.tsx";
import { Wide } from "#ui/parts/wide.tsx";
import { chain, chosenSettings } from "./chainState.ts";

/** A lot to be made, from the first step to the last: what it would be, and where most doubt comes from. */
export function LotThroughSteps() {
  const answer = chain.value;
  if (answer === null) return null;
  return (
    <section aria-labelledby="all-steps">
      <h2 id="all-steps">A lot through all steps</h2>
      <HowFound of={["chain of steps"]} inputs={[]}>
        <p class="lead" data-chain aria-live="polite">
          {unbroken(answer.sentence)}
        </p>
        <p>
          {answer.steps.flatMap(({ settings }) =>
            settings.map(({ name, unit, value }) => (
              <NumberField
                key={name}
                label={name}
                unit={unit}
                value={chosenSettings.value[name] ?? value}
                onChange={(v) => {
                  chosenSettings.value = { ...chosenSettings.value, [name]: v };
                }}
              />
            )),
          )}
        </p>
        <ProblemList problems={answer.problems} />
        {answer.steps.length > 0 && <StepTable steps={answer.steps} level={answer.level} />}
      </HowFound>
    </section>
  );
}

/** The sizes after every step side by side, and each step's share of the doubt. */
function StepTable({ steps, level }: { steps: readonly ChainStepAnswer[]; level: number }) {
  const names = steps[0]?.sizes.map(({ name }) => name) ?? [];
  return (
    <Wide name="Sizes after every step">
      <table>
        <caption class="quiet">
          Of one further lot: median, and the interval of {Math.round(100 * level)} % of lots, in µm.
        </caption>
        <thead>
          <tr>
            <th scope="col">After</th>
            {names.map((name) => (
              <th scope="col" key={name}>
                {name}
              </th>
            ))}
            <th scope="col">Share of the doubt</th>
            <th scope="col">For want of lots</th>
            <th scope="col">Lots</th>
          </tr>
        </thead>
        <tbody>
          {steps.map(({ stage, sizes, doubt, lots }) => (
            <tr key={stage}>
              <th scope="row">{stage}</th>
              {sizes.map(({ name, median, low, high }) => (
                <td class="number" key={name}>
                  {figures(median)} ({figures(low)}–{figures(high)})
                </td>
              ))}
              <td class="number">{Math.round(100 * doubt.share)} %</td>
              <td class="number">{Math.round(100 * doubt.fromFewLots)} %</td>
              <td class="number">{lots}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </Wide>
  );
}
