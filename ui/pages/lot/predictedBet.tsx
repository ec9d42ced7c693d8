import { useState } from "preact/hooks";
import type { SavedLot } from "#api/records/records.ts";
import { formSentence, oddPairSentence } from "#model/answers/surface/predictedBetWords.ts";
import type { Stage } from "#model/lot/stages.ts";
import { counted } from "#model/words/wording.ts";
import { PictureFigure } from "#ui/charts/picture.tsx";
import { linkTo } from "#ui/data/address.ts";
import type { Card } from "#ui/data/card.ts";
import { savePair } from "#ui/data/saving.ts";
import { howMeasured } from "#ui/parts/betCalibration.tsx";
import { Choice } from "#ui/parts/choice.tsx";
import { figures, percent, unbroken, withUnit } from "#ui/parts/format.ts";
import { HowFound } from "#ui/parts/howFound.tsx";
import { ProblemList } from "#ui/parts/problemList.tsx";
import { Wide } from "#ui/parts/wide.tsx";
import { type PredictedBetState, predictedBetOf } from "./predictedBetState.ts";
import { unseenAreaOf } from "./unseenArea.ts";

/** The predicted BET area of a stage, what it rests on, and the measured value beside it. */
export function PredictedBet({ lot, card }: { lot: SavedLot; card: Card }) {
  const stages = lot.stages.map((s) => s.stage);
  const [chosen, setStage] = useState<Stage | null>(null);
  const stage =
    stages.find((s) => s === chosen) ?? stages.filter((s) => s !== "reference").at(-1) ?? stages[0];
  const predicted = stage === undefined ? null : predictedBetOf(lot, stage, card);
  if (stage === undefined || predicted === null) return null;
  const { answer } = predicted;
  const unseen = unseenAreaOf(lot, stage);
  return (
    <section aria-labelledby="predicted-bet">
      <h2 id="predicted-bet">Predicted BET</h2>
      <p class="lead" data-predicted-bet>
        {unbroken(answer.sentence)}
      </p>
      <Choice label="Stage" value={stage} options={stages} onChange={setStage} />
      <MeasuredBet lot={lot} stage={stage} predicted={predicted} />
      <h3>Area by particle size</h3>
      <PictureFigure
        draw={predicted.draw}
        caption="The area of each bar is the share of the surface area in that size class."
      />
      <Wide name="Area by particle size">
        <table>
          <tbody>
            <tr>
              <th scope="row">Particles below</th>
              {predicted.carrying.map((c) => (
                <td key={c.belowUm}>{withUnit(c.belowUm, "µm")}</td>
              ))}
            </tr>
            <tr>
              <th scope="row">hold, of the area,</th>
              {predicted.carrying.map((c) => (
                <td key={c.belowUm}>{percent(c.share)}</td>
              ))}
            </tr>
          </tbody>
        </table>
      </Wide>
      {unseen !== null && <p class="quiet">{unbroken(unseen)}</p>}
      <HowFound
        of={["BET ahead", "form of BET ahead", "unseen fines", "geometric area"]}
        inputs={[`From ${counted(predicted.pairs.length, "pair")} of the stage ${stage}.`]}
      >
        <Pairs stage={stage} predicted={predicted} />
      </HowFound>
      <ProblemList problems={answer.problems} />
    </section>
  );
}

/** The measured value, ready to be added to the calibration; before it is measured, where to enter it. */
function MeasuredBet(given: {
  readonly lot: SavedLot;
  readonly stage: Stage;
  readonly predicted: PredictedBetState;
}) {
  const { lot, stage, predicted } = given;
  const { cameBack: measured, geometricM2PerG, limits, now } = predicted;
  const isPaired = predicted.pairs.some(({ isOwn }) => isOwn);
  const outlier = predicted.answer.ahead === null ? null : oddPairSentence(predicted.answer.ahead);
  return (
    <p>
      {limits === null && (
        <>
          No BET limits are set for {stage} powder; set them on the page{" "}
          <a href={linkTo({ page: "bands" })}>Bands</a>.{" "}
        </>
      )}
      {measured === null
        ? `Once BET is measured, enter it below under “Results” (BET area, ${stage}); it is then compared with the prediction.`
        : isPaired
          ? "The measured value is part of the BET calibration."
          : null}
      {outlier !== null && !isPaired && `${unbroken(outlier)} `}
      {measured !== null && !isPaired && geometricM2PerG !== null && (
        <button
          type="button"
          onClick={() =>
            void savePair({
              stage,
              material: lot.material,
              geometricM2PerG: Number(geometricM2PerG.toPrecision(4)),
              betM2PerG: measured.value,
              ...now,
            })
          }
        >
          Add it to the BET calibration
        </button>
      )}
    </p>
  );
}

/** The calibration pairs of the stage: which are used, and which form leave-one-out prefers. */
function Pairs({ stage, predicted }: { stage: Stage; predicted: PredictedBetState }) {
  const found = predicted.answer.ahead;
  return (
    <>
      <h3>Calibration pairs</h3>
      <p class="lead">
        {found === null ? "" : unbroken(formSentence(found))}{" "}
        <a href={linkTo({ page: "bands" })}>BET calibration</a>
      </p>
      {predicted.pairs.length > 0 && (
        <Wide name="Pairs of the stage">
          <table>
            <caption class="quiet">Pairs of the stage {stage}; areas in m²/g</caption>
            <thead>
              <tr>
                <th scope="col">How measured</th>
                <th scope="col">Geometric area</th>
                <th scope="col">BET area</th>
                <th scope="col">BET ratio</th>
                <th scope="col">Used</th>
              </tr>
            </thead>
            <tbody>
              {predicted.pairs.map(({ pair, differing, isOwn }, i) => (
                <tr key={i}>
                  <th scope="row">{howMeasured(pair)}</th>
                  <td class="number">{figures(pair.geometricM2PerG)}</td>
                  <td class="number">{figures(pair.betM2PerG)}</td>
                  <td class="number">{figures(pair.betM2PerG / pair.geometricM2PerG)}</td>
                  <td>
                    {isOwn
                      ? "excluded: its own value, assessed by the others"
                      : differing.length === 0
                        ? "yes"
                        : `out of date: different ${differing.join(", ")}`}
                  </td>
                </tr>
              ))}
            </tbody>
          </table>
        </Wide>
      )}
    </>
  );
}
