import { counted } from "#model/words/wording.ts";
import { looking } from "#ui/data/incoming.ts";
import { check, gap, lot } from "#ui/data/selection.ts";
import { HowFound } from "#ui/parts/howFound.tsx";
import { later } from "#ui/parts/later.tsx";
import { LimitsList } from "#ui/parts/limitsList.tsx";

const BandChoice = later(
  "the bands",
  async () => (await import("./bandChoice.tsx")).BandChoice,
  () => <p class="quiet band-choice">Target band …</p>,
);
const MoreLimits = later(
  "predicted BET",
  async () => (await import("./moreLimits.tsx")).MoreLimits,
  () => <li class="quiet one-limit">Predicted BET is being calculated …</li>,
);

/** Each limit of the band with its value and verdict, what else was found on the powder, and the band itself. */
export function LotLimits() {
  const answer = check.value;
  const saved = looking.value === null ? lot.value : null;
  return (
    <section aria-label="Limits">
      <BandChoice />
      {answer === null ? (
        <p class="quiet">There are no limits to check.</p>
      ) : (
        <HowFound
          of={[
            "undersize, percentiles",
            "geometric area",
            "span, largest class",
            "verdict",
            "verdict of the curve",
            "joint conformance",
            "BET ahead",
          ]}
          inputs={[`From ${counted(answer.runs, "run")} by volume.`]}
        >
          <LimitsList rows={answer.rows} runs={answer.runs} isFinal={gap.value === null}>
            {saved !== null && <MoreLimits key={saved.id} lot={saved} />}
          </LimitsList>
        </HowFound>
      )}
    </section>
  );
}
