import { outsideText } from "#model/answers/lot/checkWords.ts";
import { counted } from "#model/words/wording.ts";
import { check, gap } from "#ui/data/selection.ts";
import { figures, unbroken } from "#ui/parts/format.ts";
import { HowFound } from "#ui/parts/howFound.tsx";
import { LimitsList } from "#ui/parts/limitsList.tsx";

/** Each limit of the band with its value and verdict, and the sizes at which the curve leaves the band. */
export function LotLimits() {
  const answer = check.value;
  return (
    <section aria-labelledby="limits">
      <h2 id="limits" class="first">
        Limits
      </h2>
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
          ]}
          inputs={[`From ${counted(answer.runs, "run")} by volume.`]}
        >
          <LimitsList rows={answer.rows} runs={answer.runs} isFinal={gap.value === null} />
        </HowFound>
      )}
      {answer !== null && answer.outside.length > 0 && (
        <>
          <h2>Sizes outside the band</h2>
          <ul class="quiet">
            {answer.outside.map((o) => (
              <li key={o.fromUm}>
                {unbroken(`${figures(o.fromUm)}–${figures(o.toUm)} µm: ${outsideText(o)}`)}
              </li>
            ))}
          </ul>
        </>
      )}
    </section>
  );
}
