import { looking } from "#ui/data/incoming.ts";
import { lot, runs } from "#ui/data/selection.ts";
import { useCard } from "#ui/data/useCard.ts";
import { later } from "#ui/parts/later.tsx";
import { Chances } from "./chances.tsx";
import { FineFractions } from "./fineFractions.tsx";
import { PredictedBet } from "./predictedBet.tsx";
import { Record } from "./record.tsx";
import { RepeatRuns } from "./repeatRuns.tsx";
import { Results } from "./results.tsx";
import { Sizes } from "./sizes.tsx";

const Fits = later("the fits", async () => (await import("./fits.tsx")).Fits);

/** Predicted BET, chance of being in band, sizes, repeat runs, fine fractions, curve fit, other results, record: the order of a report. */
export function BelowLimits() {
  const saved = looking.value === null ? lot.value : null;
  const { card, trouble } = useCard(saved);
  const isMeasured = runs.value.length > 0;
  return (
    <>
      {[trouble, ...(card?.damaged ?? []).map((d) => d.message)].map(
        (words) =>
          words !== null && (
            <p key={words} role="alert" class="problem">
              {words}
            </p>
          ),
      )}
      {saved !== null && card !== null && <PredictedBet key={saved.id} lot={saved} card={card} />}
      {isMeasured && (
        <>
          <Chances />
          <Sizes />
          <RepeatRuns />
          <FineFractions />
          <Fits />
        </>
      )}
      {saved !== null && card !== null && (
        <>
          <Results key={`results ${saved.id}`} lot={saved} saved={card.results} />
          <Record key={`record ${saved.id}`} lot={saved} card={card} />
        </>
      )}
      {saved !== null && card === null && trouble === null && (
        <p role="status">Loading results and record …</p>
      )}
    </>
  );
}
