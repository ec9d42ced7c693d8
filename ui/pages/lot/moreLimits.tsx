import type { SavedLot, SavedResult } from "#api/records/records.ts";
import { statisticText } from "#model/band/limits.ts";
import { betResult } from "#model/surface/bet.ts";
import { capital, chanceText } from "#model/words/wording.ts";
import type { Card } from "#ui/data/card.ts";
import { stageJudged } from "#ui/data/selection.ts";
import { useCard } from "#ui/data/useCard.ts";
import { figures, unbroken, withUnit } from "#ui/parts/format.ts";
import { LimitRow } from "#ui/parts/limitRow.tsx";
import { predictedBetOf } from "./predictedBetState.ts";

/** More would not leave room for the picture; the rest stands below, under Results. */
const maxResults = 3;

/** The predicted or measured BET area of the stage, and what else the lab found on it. */
export function MoreLimits({ lot }: { lot: SavedLot }) {
  const { card } = useCard(lot);
  const stage = stageJudged.value;
  if (card === null) return <li class="quiet one-limit">Predicted BET is being calculated …</li>;
  const ofStage = card.results.filter((r) => r.stage === stage || r.stage === null);
  const others = ofStage.filter((r) => r.name !== betResult).slice(-maxResults);
  return (
    <>
      <li>
        <Bet lot={lot} card={card} />
      </li>
      {others.map((result) => (
        <li key={result.id}>
          <Result result={result} />
        </li>
      ))}
    </>
  );
}

function Bet({ lot, card }: { lot: SavedLot; card: Card }) {
  const stage = stageJudged.value;
  const predicted = stage === null ? null : predictedBetOf(lot, stage, card);
  const ahead = predicted?.answer.ahead ?? null;
  if (predicted === null || ahead === null)
    return <span class="quiet">Predicted BET: it needs runs of this stage with a known geometric area.</span>;
  const { cameBack, limits } = predicted;
  const { low, high, median, chanceWithin } = ahead;
  const interval = low === null || high === null ? null : { low, high, level: ahead.level };
  const { low: least = null, high: most = null } = limits ?? {};
  return (
    <LimitRow
      name={cameBack === null ? "Predicted BET" : "BET"}
      value={withUnit(cameBack?.value ?? median, "m²/g")}
      how="BET ahead"
      placed={{
        low: least,
        high: most,
        value: cameBack?.value ?? median,
        interval: cameBack === null ? interval : null,
      }}
      isPredicted={cameBack === null}
    >
      {unbroken(
        [
          cameBack === null
            ? `95 %: ${interval === null ? "no interval" : `${figures(interval.low)}–${figures(interval.high)}`}`
            : `measured; predicted ${figures(median)}${interval === null ? "" : ` (${figures(interval.low)}–${figures(interval.high)})`}`,
          limits === null ? "no limits set" : `limits ${statisticText({ low: least, high: most }, figures)}`,
          chanceWithin === null ? "" : `chance of being within: ${chanceText(chanceWithin)}`,
        ]
          .filter((part) => part !== "")
          .join(" · "),
      )}
    </LimitRow>
  );
}

function Result({ result: { name, value, unit, stage, uncertainty } }: { result: SavedResult }) {
  return (
    <LimitRow
      name={capital(name)}
      value={withUnit(value, unit)}
      how="verdict"
      placed={{ low: null, high: null, value, interval: null }}
    >
      {uncertainty === null ? "" : `standard uncertainty ${figures(uncertainty)} · `}
      {stage ?? "whole lot"}, measured · no limits set
    </LimitRow>
  );
}
