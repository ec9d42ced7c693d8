import { computed } from "@preact/signals";
import { useEffect } from "preact/hooks";
import type { SavedLot } from "#api/records/records.ts";
import { parentsAnswer } from "#model/answers/compare/parentsAnswer.ts";
import { linkTo } from "#ui/data/address.ts";
import { areRunsHere, fetchRuns, lots, measurements } from "#ui/data/entries.ts";
import { ownLots } from "#ui/data/selection.ts";
import { unbroken } from "#ui/parts/format.ts";
import { HowFound } from "#ui/parts/howFound.tsx";

const runsOf = (lotId: number, stage: string) =>
  (measurements.value.get(lotId) ?? []).filter((m) => m.stage === stage);

const parentsOf = ({ parents }: SavedLot) => parents.map(({ lotId }) => lotId);

const children = computed(() => ownLots.value.filter(({ parents }) => parents.length > 0));

/** Each lot that came from others, held against them at the stage they share, else at the first it has. */
const held = computed(() =>
  children.value.flatMap((lot) => {
    const [first] = lot.parents;
    const own = lot.stages.map(({ stage }) => stage);
    const stage = own.find((each) => each === first?.stage) ?? own[0];
    if (first === undefined || stage === undefined || !areRunsHere([lot.id, ...parentsOf(lot)])) return [];
    const answer = parentsAnswer(
      { stage, runs: runsOf(lot.id, stage) },
      lot.parents.map(({ lotId, stage: taken, share }) => ({
        name: lots.value.find(({ id }) => id === lotId)?.name ?? `lot no. ${lotId}`,
        stage: taken,
        share,
        runs: runsOf(lotId, taken),
      })),
    );
    return answer.sentence === "" ? [] : [{ lot, stage, sentence: answer.sentence }];
  }),
);

/** Split, re-milled and blended lots beside what their parents were. */
export function LotsAndParents() {
  const of = children.value;
  useEffect(() => void fetchRuns(of.flatMap((lot) => [lot.id, ...parentsOf(lot)])), [of]);
  if (held.value.length === 0) return null;
  return (
    <section aria-labelledby="lots-and-parents">
      <h2 id="lots-and-parents">Lots that came from others</h2>
      <HowFound of={["lot and its parents"]} inputs={[]}>
        <ul data-parents>
          {held.value.map(({ lot, stage, sentence }) => (
            <li key={lot.id}>
              <a href={linkTo({ page: "lot", lotId: lot.id, stage })}>{lot.name}</a>, {stage}.{" "}
              {unbroken(sentence)}
            </li>
          ))}
        </ul>
      </HowFound>
    </section>
  );
}
