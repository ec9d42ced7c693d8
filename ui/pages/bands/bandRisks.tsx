import { useMemo } from "preact/hooks";
import type { SavedLot, SavedMeasurement } from "#api/records/records.ts";
import { releaseAnswer } from "#model/answers/lot/releaseAnswer.ts";
import { shareText } from "#model/answers/lot/releaseWords.ts";
import type { Band, DecisionRule } from "#model/band/band.ts";
import { measurements } from "#ui/data/entries.ts";
import { ownLots } from "#ui/data/selection.ts";
import { HowFound } from "#ui/parts/howFound.tsx";
import { Wide } from "#ui/parts/wide.tsx";

/** Consumer's and producer's risk of every rule for lots made like those kept, where the rule is chosen. */
export function BandRisks({ band, rule }: { band: Band; rule: DecisionRule }) {
  const [known, runsOf] = [ownLots.value, measurements.value];
  // Drawn from thousands of lots: not for every key that is pressed in the form.
  const { risks, count } = useMemo(() => risksOf(band, known, runsOf), [band, known, runsOf]);
  if (risks === null)
    return (
      <p class="quiet" data-band-risks>
        What each rule would release though out, or hold though good, is said from eight kept lots of this
        stage on, and three a limit; there are {count}.
      </p>
    );
  return (
    <HowFound of={["risks of a decision rule"]} inputs={[]}>
      <Wide name={`Risks of each rule, ${band.name}`}>
        <table data-band-risks>
          <caption class="quiet">Of lots made like the {count} kept, each measured once</caption>
          <thead>
            <tr>
              <th scope="col">Rule</th>
              <th scope="col">Released though out (consumer’s risk)</th>
              <th scope="col">Held though good (producer’s risk)</th>
              <th scope="col">Undecided</th>
            </tr>
          </thead>
          <tbody>
            {risks.map((risk) => (
              <tr key={risk.rule}>
                <th scope="row">
                  {risk.rule}
                  {risk.rule === rule ? " (chosen)" : ""}
                </th>
                <td class="number">{shareText(risk.releasedThoughOut)}</td>
                <td class="number">{shareText(risk.heldThoughGood)}</td>
                <td class="number">{risk.rule === "two-sided" ? shareText(risk.undecided) : "–"}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </Wide>
    </HowFound>
  );
}

function risksOf(
  band: Band,
  known: readonly SavedLot[],
  runsOf: ReadonlyMap<number, readonly SavedMeasurement[]>,
) {
  const own = known
    .filter(({ exclusionReason }) => exclusionReason === null)
    .map(({ id }) =>
      (runsOf.get(id) ?? [])
        .filter(({ stage }) => stage === band.stage)
        .map(({ portion, ...run }) => (portion === undefined ? run : { ...run, portion: portion.name })),
    )
    .filter((runs) => runs.length > 0);
  const newest = own.at(-1);
  const release = newest === undefined ? null : releaseAnswer(newest, band, { kept: own.slice(0, -1) });
  return { risks: release?.risks ?? null, count: own.length };
}
