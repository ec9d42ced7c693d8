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

/** The BET area to expect of a stage, what it rests on, and what to make of the value when it comes back. */
export function PredictedBet({ lot, card }: { lot: SavedLot; card: Card }) {
  const stages = lot.stages.map((s) => s.stage);
  const [chosen, setStage] = useState<Stage | null>(null);
  const stage =
    stages.find((s) => s === chosen) ?? stages.filter((s) => s !== "reference").at(-1) ?? stages[0];
  const ahead = stage === undefined ? null : predictedBetOf(lot, stage, card);
  if (stage === undefined || ahead === null) return null;
  const { answer } = ahead;
  return (
    <section aria-labelledby="surface-ahead">
      <h2 id="surface-ahead">Surface ahead</h2>
      <p class="lead" data-ahead>
        {unbroken(answer.sentence)}
      </p>
      <Choice label="Of the stage" value={stage} options={stages} onChange={setStage} />
      <ToBeNoted lot={lot} stage={stage} ahead={ahead} />
      <h3>What the area rests on</h3>
      <PictureFigure
        draw={ahead.draw}
        caption="A bar's own area is the share of the powder's area that the class carries."
      />
      <Wide name="Sizes that carry the area">
        <table>
          <tbody>
            <tr>
              <th scope="row">Sizes below</th>
              {ahead.carrying.map((c) => (
                <td key={c.belowUm}>{withUnit(c.belowUm, "µm")}</td>
              ))}
            </tr>
            <tr>
              <th scope="row">carry of the area</th>
              {ahead.carrying.map((c) => (
                <td key={c.belowUm}>{percent(c.share)}</td>
              ))}
            </tr>
          </tbody>
        </table>
      </Wide>
      {ahead.unseen !== null && <p class="quiet">{unbroken(ahead.unseen)}</p>}
      <HowFound
        of={["BET ahead", "form of BET ahead", "unseen fines", "geometric area"]}
        inputs={[`From ${counted(ahead.pairs.length, "pair")} of the stage ${stage}.`]}
      >
        <Pairs stage={stage} ahead={ahead} />
      </HowFound>
      <ProblemList problems={answer.problems} />
    </section>
  );
}

/** The value that came back, ready to be noted as a pair; before it, where to note it. */
function ToBeNoted({ lot, stage, ahead }: { lot: SavedLot; stage: Stage; ahead: PredictedBetState }) {
  const { cameBack, geometricM2PerG, limits, now } = ahead;
  const isPaired = ahead.pairs.some(({ isOwn }) => isOwn);
  const odd = ahead.answer.ahead === null ? null : oddPairSentence(ahead.answer.ahead);
  return (
    <p>
      {limits === null && (
        <>
          No specification of the BET area is set for {stage} powder; it is a part of{" "}
          <a href={linkTo({ page: "shelf" })}>the lot's band</a>.{" "}
        </>
      )}
      {cameBack === null
        ? `When the BET value of ${lot.name} comes back, note it below under other results, BET area of ${stage}: it is then held against what was expected.`
        : isPaired
          ? "The value that came back stands in the BET notebook."
          : null}
      {odd !== null && !isPaired && `${unbroken(odd)} `}
      {cameBack !== null && !isPaired && geometricM2PerG !== null && (
        <button
          type="button"
          onClick={() =>
            void savePair({
              stage,
              geometricM2PerG: Number(geometricM2PerG.toPrecision(4)),
              betM2PerG: cameBack.value,
              ...now,
            })
          }
        >
          Note it in the BET notebook
        </button>
      )}
    </p>
  );
}

/** The pairs of the stage: which hold, and which form leave-one-out prefers. */
function Pairs({ stage, ahead }: { stage: Stage; ahead: PredictedBetState }) {
  const found = ahead.answer.ahead;
  return (
    <>
      <h3>Pairs it rests on</h3>
      <p class="lead">
        {found === null ? "" : unbroken(formSentence(found))}{" "}
        <a href={linkTo({ page: "shelf" })}>BET notebook</a>
      </p>
      {ahead.pairs.length > 0 && (
        <Wide name="Pairs of the stage">
          <table>
            <caption class="quiet">Pairs of the stage {stage}; areas in m²/g</caption>
            <thead>
              <tr>
                <th scope="col">Measured</th>
                <th scope="col">Geometric area</th>
                <th scope="col">BET area</th>
                <th scope="col">BET ratio</th>
                <th scope="col">Holds</th>
              </tr>
            </thead>
            <tbody>
              {ahead.pairs.map(({ pair, differing, isOwn }) => (
                <tr key={pair.id}>
                  <th scope="row">{howMeasured(pair)}</th>
                  <td class="number">{figures(pair.geometricM2PerG)}</td>
                  <td class="number">{figures(pair.betM2PerG)}</td>
                  <td class="number">{figures(pair.betM2PerG / pair.geometricM2PerG)}</td>
                  <td>
                    {isOwn
                      ? "left out: its own value, which the others judge"
                      : differing.length === 0
                        ? "yes"
                        : `stale: another ${differing.join(", ")}`}
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
