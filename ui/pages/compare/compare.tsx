import { signal } from "@preact/signals";
import type { CompareAnswer } from "#model/answers/compare/compareAnswer.ts";
import type { Stage } from "#model/lot/stages.ts";
import { plainDecimal } from "#model/pictures/scale.ts";
import { Overlay } from "#ui/charts/overlay.tsx";
import { type Address, goTo } from "#ui/data/address.ts";
import { areRunsHere, lots } from "#ui/data/entries.ts";
import { lot, stagesOf } from "#ui/data/selection.ts";
import { Choice } from "#ui/parts/choice.tsx";
import { figures, signed, unbroken, withUnit } from "#ui/parts/format.ts";
import { HowFound } from "#ui/parts/howFound.tsx";
import { LotChoice } from "#ui/parts/lotChoice.tsx";
import { ProblemList } from "#ui/parts/problemList.tsx";
import { ViewSwitch } from "#ui/parts/viewSwitch.tsx";
import { Wide } from "#ui/parts/wide.tsx";
import {
  againstLot,
  compared,
  comparedSizes,
  comparison,
  correction,
  meanFactor,
  movedFactor,
  sideName,
  twoInstruments,
} from "./compared.ts";
import { Difference } from "./difference.tsx";
import { InstrumentOffset } from "./instrumentOffset.tsx";
import { ManyLots } from "./manyLots.tsx";
import { StageSteps } from "./stageSteps.tsx";

const views = ["Curves", "Difference"] as const;
const view = signal<(typeof views)[number]>("Curves");

/** What one stage did, or how two lots differ: any stage of any lot against another. */
export function Compare() {
  const pair = compared.value;
  const answer = comparison.value;
  const isHere = areRunsHere([lot.value, againstLot.value].flatMap((one) => one?.id ?? []));
  const sentence =
    pair === null || answer === null
      ? isHere
        ? "A comparison needs two measured stages. Choose another lot or stage, or import their tables."
        : "Loading the runs …"
      : `${correction.value === null ? "" : "Corrected for the instrument: "}${answer.sentence.replace(
          "The second powder",
          `${correction.value === null ? "Against" : "against"} ${sideName(pair.a)}, ${sideName(pair.b)}`,
        )}`;
  const [headline = "", fines] = sentence.split(" The fines change by ");
  return (
    <>
      <div class="frame">
        <h1>{unbroken(headline)}</h1>
        {fines !== undefined && <p class="lead">The fines change by {unbroken(fines)}</p>}
        <div class="choosers">
          <Chooser
            label="From"
            lotId={againstLot.value?.id ?? null}
            stage={pair?.a.stage ?? null}
            d50Um={pair?.a.d50Um ?? null}
            goLot={(againstLotId) => ({ againstLotId, against: null })}
            goStage={(against) => ({ against })}
          />
          <Chooser
            label="To"
            lotId={lot.value?.id ?? null}
            stage={pair?.b.stage ?? null}
            d50Um={pair?.b.d50Um ?? null}
            goLot={(lotId) => ({ lotId, stage: null, againstLotId: againstLot.value?.id ?? null })}
            goStage={(stage) => ({ stage })}
          />
        </div>
        {twoInstruments.value !== null && <InstrumentOffset names={twoInstruments.value} />}
        <div class="columns">
          <div class="fills">
            <ViewSwitch
              views={views}
              shown={view.value}
              onChange={(wanted) => {
                view.value = wanted;
              }}
            />
            {view.value === "Difference" ? (
              <Difference finding={sentence} />
            ) : (
              pair?.a.curve != null &&
              pair.b.curve !== null && (
                <Overlay
                  finding={sentence}
                  sizesUm={comparedSizes.value}
                  view="undersize"
                  band={null}
                  product={{ label: sideName(pair.b), curve: pair.b.curve, isPredicted: false }}
                  others={[{ label: sideName(pair.a), curve: pair.a.curve }]}
                  height="fill"
                />
              )
            )}
          </div>
          {answer !== null && <WhatChanged answer={answer} />}
        </div>
      </div>
      <StageSteps />
      <ManyLots />
    </>
  );
}

/** A factor on size as one says it: times 1.2, or divided by 6.3. */
function timesText(factor: number | null): string {
  if (factor === null) return "not known";
  if (Math.abs(factor - 1) < 0.005) return unbroken("the same within 0.5 %");
  return factor < 1 ? `divided by ${figures(1 / factor)}: finer` : `times ${figures(factor)}: coarser`;
}

/** One side: its lot, its stage, and the median it has. */
function Chooser(props: {
  label: string;
  lotId: number | null;
  stage: Stage | null;
  d50Um: number | null;
  goLot: (lotId: number) => Partial<Address>;
  goStage: (stage: Stage) => Partial<Address>;
}) {
  const { label, lotId, stage, d50Um, goLot, goStage } = props;
  const of = lots.value.find((l) => l.id === lotId) ?? null;
  return (
    <p class="lead">
      <LotChoice
        label={`${label} lot`}
        value={lotId}
        onChange={(id) => goTo({ page: "compare", ...goLot(id) })}
      />
      {stage === null ? (
        "Not measured yet."
      ) : (
        <>
          <Choice
            label="stage"
            value={stage}
            options={stagesOf(of).map((s) => s.stage)}
            onChange={(s) => goTo({ page: "compare", ...goStage(s) })}
          />
          {unbroken(`D50 ${withUnit(d50Um, "µm")}`)}
        </>
      )}
    </p>
  );
}

function WhatChanged({ answer }: { answer: CompareAnswer }) {
  const fines = Object.entries(answer.finesPoints).sort(([x], [y]) => Number(x) - Number(y));
  return (
    <section aria-label="Changes by volume">
      <h2 class="first">Changes by volume</h2>
      <HowFound
        of={["distances", "undersize, percentiles"]}
        inputs={["Ratios and differences of the mean curves over all runs of both, by volume."]}
      >
        <Wide name="Distances">
          <table>
            <tbody>
              <tr>
                <th scope="row">Mean size change</th>
                <td class="number" data-how="distances">
                  {timesText(meanFactor.value)}
                </td>
              </tr>
              <tr>
                <th scope="row">Shift distance, finer or coarser alike</th>
                <td class="number" data-how="distances">
                  factor {figures(movedFactor.value)} on average
                </td>
              </tr>
              <tr>
                <th scope="row">Max gap between the curves</th>
                <td class="number" data-how="distances">
                  {withUnit(answer.maxGapPoints, "points")} at {withUnit(answer.atUm, "µm")}
                </td>
              </tr>
              <tr>
                <th scope="row">Overlap</th>
                <td class="number" data-how="distances">
                  {withUnit(answer.overlap * 100, "%")}
                </td>
              </tr>
              {Object.entries(answer.percentileRatios).map(([p, ratio]) => (
                <tr key={p}>
                  <th scope="row">D{p}</th>
                  <td class="number" data-how="undersize, percentiles">
                    {timesText(ratio)}
                  </td>
                </tr>
              ))}
              {fines.map(([x, points]) => (
                <tr key={x}>
                  <th scope="row">Fines below {plainDecimal(Number(x))} µm</th>
                  <td class="number" data-how="undersize, percentiles">
                    {signed(points, "points")}
                  </td>
                </tr>
              ))}
            </tbody>
          </table>
        </Wide>
        <p class="quiet">
          If the first two rows give the same factor, all sizes moved the same way; if the second is larger,
          some moved the other way.
        </p>
      </HowFound>
      <ProblemList problems={answer.problems} />
    </section>
  );
}
