import { useEffect, useMemo } from "preact/hooks";
import type { SavedBand, SavedLot, SavedMeasurement } from "#api/records/records.ts";
import { releaseAnswer } from "#model/answers/lot/releaseAnswer.ts";
import { shareText } from "#model/answers/lot/releaseWords.ts";
import type { Band, DecisionRule } from "#model/band/band.ts";
import { maxGroundLots } from "#model/lot/ground.ts";
import { fetchRuns, lots, measurements } from "#ui/data/entries.ts";
import { bandFor, material } from "#ui/data/selection.ts";
import { HowFound } from "#ui/parts/howFound.tsx";
import { Wide } from "#ui/parts/wide.tsx";

/** Consumer's and producer's risk of every rule for lots like those judged by the band, where the rule is chosen. */
export function BandRisks({ saved, rule }: { saved: SavedBand; rule: DecisionRule }) {
  const { band } = saved;
  const of = judgedBy(saved);
  const [known, runsOf] = [of.map(({ id }) => id).join(), measurements.value];
  useEffect(() => fetchRuns(of.map(({ id }) => id)), [known]);
  // Drawn from thousands of lots: not for every key that is pressed in the form.
  const { risks, count } = useMemo(() => risksOf(band, of, runsOf), [band, known, runsOf]);
  const name = of[0]?.material ?? "";
  if (risks === null)
    return (
      <p class="quiet" data-band-risks>
        The risks of each rule need eight lots of one material that are judged by this band, and three for
        each limit; there {count === 1 ? "is" : "are"} {count}
        {name === "" ? "" : ` of ${name}`}.
      </p>
    );
  return (
    <HowFound of={["risks of a decision rule"]} inputs={[]}>
      <Wide name={`Risks of each rule, ${band.name}`}>
        <table data-band-risks>
          <caption class="quiet">
            Of lots made like the {count} of {name} that are judged by this band, each measured once
          </caption>
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

/** The newest lots judged by a band, all of one material: that of the lot looked at where it is among them, else of the newest. */
function judgedBy({ id }: SavedBand): readonly SavedLot[] {
  const of = lots.value.filter((lot) => lot.exclusionReason === null && bandFor(lot)?.id === id);
  const isOwn = of.some((lot) => lot.material === material.value);
  const one = isOwn ? material.value : (of.at(-1)?.material ?? null);
  return of.filter((lot) => lot.material === one).slice(-maxGroundLots);
}

function risksOf(
  band: Band,
  known: readonly SavedLot[],
  runsOf: ReadonlyMap<number, readonly SavedMeasurement[]>,
) {
  const own = known
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
