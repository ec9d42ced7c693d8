import { useEffect } from "preact/hooks";
import { factorsSentence } from "#model/answers/factors/factorWords.ts";
import { lots } from "#ui/data/entries.ts";
import { belowUm, lot, material } from "#ui/data/selection.ts";
import { useStages } from "#ui/data/steps.ts";
import { Choice } from "#ui/parts/choice.tsx";
import { signed, unbroken } from "#ui/parts/format.ts";
import { HowFound } from "#ui/parts/howFound.tsx";
import { later } from "#ui/parts/later.tsx";
import { NearSection } from "#ui/parts/nearSection.tsx";
import { NumberField } from "#ui/parts/numberField.tsx";
import { addStyles } from "#ui/parts/styles.ts";
import { Wide } from "#ui/parts/wide.tsx";
import { Effects } from "./effects.tsx";
import {
  chosenResult,
  drift,
  effectsOfResult,
  fetchHistory,
  found,
  historyStage,
  resultEffects,
  resultName,
  resultNames,
  savedHistory,
  trouble,
} from "./historyState.ts";
import { NextLot } from "./nextLot.tsx";
import css from "./process.css?inline";
import { ProcessPictures } from "./processPictures.tsx";
import { ProcessTable } from "./processTable.tsx";

const LotThroughSteps = later(
  "a lot through all steps",
  async () => (await import("./chain.tsx")).LotThroughSteps,
);

const LotsAndParents = later(
  "lots that came from others",
  async () => (await import("./parents.tsx")).LotsAndParents,
);

const ProcessSteps = later(
  "the steps of the process",
  async () => (await import("./processSteps.tsx")).ProcessSteps,
);

/** Lots × settings × results as a table, beside it what goes with what, then drift and the next lot. */
export function Process() {
  addStyles(css);
  const all = lots.value;
  useEffect(() => void fetchHistory(), [historyStage.value, belowUm.value, material.value, all]);
  return (
    <div class="process">
      <h1 aria-live="polite" data-history>
        {unbroken(headline())}
      </h1>
      {trouble.value !== null && (
        <p role="alert" class="problem">
          {trouble.value}
        </p>
      )}
      <Questions />
      {savedHistory.value !== null && (
        <>
          <div class="process-frame">
            <div>
              <ProcessTable />
            </div>
            <ProcessPictures />
          </div>
          <Findings />
          <NextLot />
          <NearSection id="all-steps-near" of={LotThroughSteps} />
          <NearSection id="parents-near" of={LotsAndParents} />
          <OtherResults />
          <NearSection id="steps-near" of={ProcessSteps} />
        </>
      )}
    </div>
  );
}

/** What is found of the result that is looked at; without settings, that there are none; then whether it drifts. */
function headline(): string {
  const history = savedHistory.value;
  if (history === null) return "Loading the lots …";
  if (history.settings.length === 0)
    return `No lot has a setting recorded as a number yet. Add one to the table. ${drift.value?.sentence ?? ""}`;
  const claims = effectsOfResult.value.filter(
    (e) => e.verdict === "goes with it" || e.verdict === "not separated",
  );
  const [best] = claims.toSorted((a, b) => (a.pValue ?? 1) - (b.pValue ?? 1));
  const [first] = effectsOfResult.value;
  return best?.sentence ?? first?.sentence ?? "";
}

function Questions() {
  const { all, say } = useStages(lot.value);
  return (
    <p>
      <Choice
        label="Stage"
        value={historyStage.value}
        options={all}
        say={say}
        onChange={(stage) => {
          historyStage.value = stage;
        }}
      />
      {resultNames.value.length > 0 && (
        <Choice
          label="Result"
          value={resultName.value}
          options={resultNames.value}
          onChange={(name) => {
            chosenResult.value = name;
          }}
        />
      )}
      <NumberField
        label="Fines below"
        unit="µm"
        value={belowUm.value}
        min={0.001}
        onChange={(v) => {
          if (v !== null && v > 0) belowUm.value = v;
        }}
      />
    </p>
  );
}

/** Every setting against every result, all looked at together. */
function Findings() {
  const effects = found.value?.effects ?? [];
  if (effects.length === 0) return null;
  return (
    <section aria-labelledby="findings">
      <h2 id="findings">What goes with what</h2>
      <p class="lead" data-drift-sentence>
        {unbroken(drift.value?.sentence ?? "")}
      </p>
      <HowFound
        of={["settings and results", "drift of a result"]}
        inputs={[`Of the stage ${historyStage.value}.`]}
      >
        <p class="lead" data-findings>
          {unbroken(factorsSentence(effectsOfResult.value))}
        </p>
        {(found.value?.problems ?? []).map((p) => (
          <p key={p.message} class="quiet">
            {p.message}
          </p>
        ))}
        <Wide name="Settings and results">
          <table>
            <thead>
              <tr>
                <th scope="col">Result</th>
                <th scope="col">Setting</th>
                <th scope="col">Lots</th>
                <th scope="col">Change per unit</th>
                <th scope="col">95 % interval</th>
                <th scope="col">Finding</th>
              </tr>
            </thead>
            <tbody>
              {effects.map((e) => (
                <tr key={`${e.of} ${e.factor}`}>
                  <th scope="row">{e.of}</th>
                  <td>{e.factor}</td>
                  <td class="number">{e.lots}</td>
                  <td>{e.slope === null ? "–" : signed(e.slope, e.per)}</td>
                  <td>
                    {e.interval === null
                      ? "–"
                      : `${signed(e.interval.low, "").trim()} to ${signed(e.interval.high, "").trim()}`}
                  </td>
                  <td>
                    {e.verdict === "not separated"
                      ? `not told apart from ${e.rivals.join(" and ")}`
                      : e.verdict}
                  </td>
                </tr>
              ))}
            </tbody>
          </table>
        </Wide>
      </HowFound>
    </section>
  );
}

/** How other results go with area and fines. */
function OtherResults() {
  return (
    <>
      <h2>Other results against area and fines</h2>
      {resultEffects.value.length === 0 ? (
        <p class="lead">
          No other results are recorded for these lots yet. Record them on the page Lot, under “Results”.
        </p>
      ) : (
        <Effects effects={resultEffects.value} name="Other results" />
      )}
      {(savedHistory.value?.damaged ?? []).map((d) => (
        <p key={d.message} role="alert" class="problem">
          {d.message}
        </p>
      ))}
    </>
  );
}
