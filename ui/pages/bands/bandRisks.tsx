import { useEffect, useMemo } from "preact/hooks";
import type { SavedBand, SavedLot } from "#api/records/records.ts";
import { releaseAnswer } from "#model/answers/lot/releaseAnswer.ts";
import { shareText } from "#model/answers/lot/releaseWords.ts";
import type { Band, DecisionRule } from "#model/band/band.ts";
import { lots, measurements } from "#ui/data/entries.ts";
import { askGround, isGroundHere, taughtRuns } from "#ui/data/ground.ts";
import { bandFor, material } from "#ui/data/selection.ts";
import { HowFound } from "#ui/parts/howFound.tsx";
import { Wide } from "#ui/parts/wide.tsx";

/** Consumer's and producer's risk of every rule for lots like those judged by the band, where the rule is chosen. */
export function BandRisks({ saved, rule }: { saved: SavedBand; rule: DecisionRule }) {
  const { band } = saved;
  const newest = judgedLast(saved);
  const asked = newest === null ? null : { lotId: newest.id, stage: band.stage, withItself: true };
  useEffect(() => {
    if (asked !== null) askGround(asked);
  });
  const own = asked === null ? [] : taughtRuns(asked);
  const [taught, runsOf] = [own.map(({ lotId }) => lotId).join(), measurements.value];
  // Drawn from thousands of lots: not for every key that is pressed in the form.
  const risks = useMemo(() => risksOf(band, own), [band, taught, runsOf]);
  if (asked !== null && !isGroundHere(asked)) return null;
  const count = own.length;
  const name = newest?.material ?? "";
  if (risks === null)
    return (
      <p class="quiet" data-band-risks>
        The risks of each rule need eight lots with runs of the band’s stage, of the material that is judged
        by it, and three for each limit; there {count === 1 ? "is" : "are"} {count}
        {name === "" ? "" : ` of ${name}`}.
      </p>
    );
  return (
    <HowFound of={["risks of a decision rule"]} inputs={[]}>
      <Wide name={`Risks of each rule, ${band.name}`}>
        <table data-band-risks>
          <caption class="quiet">
            Of lots made like the newest {count} of {name} at this stage, each measured once
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

/** The newest lot judged by a band: of the material looked at where it is among them. */
function judgedLast({ id }: SavedBand): SavedLot | null {
  const of = lots.value.filter((lot) => lot.exclusionReason === null && bandFor(lot)?.id === id);
  return of.findLast((lot) => lot.material === material.value) ?? of.at(-1) ?? null;
}

function risksOf(band: Band, taught: ReturnType<typeof taughtRuns>) {
  const own = taught.map(({ runs }) =>
    runs.map(({ portion, ...run }) => (portion === undefined ? run : { ...run, portion: portion.name })),
  );
  const newest = own.at(-1);
  const release = newest === undefined ? null : releaseAnswer(newest, band, { kept: own.slice(0, -1) });
  return release?.risks ?? null;
}
