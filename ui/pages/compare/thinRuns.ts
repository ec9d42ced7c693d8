import { computed, effect, signal } from "@preact/signals";
import type { SavedLot, SavedMeasurement } from "#api/records/records.ts";
import { curveOf, sizeAt } from "#distributions/curve.ts";
import { byVolume } from "#model/lot/byVolume.ts";
import { overlayRangeUm } from "#model/pictures/overlay.ts";
import { counted, figures } from "#model/words/wording.ts";
import { fetchBeside } from "#ui/data/client.ts";
import { lotCount, lots, measurements, wholeLots } from "#ui/data/entries.ts";
import { ownLots } from "#ui/data/selection.ts";
import { many, reference } from "./compareManyState.ts";

/** Whether every run of the stage is drawn, thin beneath the lots compared. */
export const areRunsWanted = signal(false);

/** So many lines are still quick to move, and more would be one patch of ink. */
const maxRuns = 200;

const runsAt = (lot: SavedLot) => lot.stages.find((s) => s.stage === reference.value?.stage)?.runs ?? 0;

/** Of the lots of the material, as many with runs of the stage as the picture takes. */
const taken = computed(() => {
  let room = maxRuns;
  return ownLots.value.filter((lot) => {
    const runs = runsAt(lot);
    const fits = runs > 0 && runs <= room;
    if (fits) room -= runs;
    return fits;
  });
});

/** Runs fetched for the picture alone, as long as what is saved stays as it is. */
const fetched = signal<{
  readonly of: readonly SavedLot[];
  readonly runs: ReadonlyMap<number, readonly SavedMeasurement[]>;
} | null>(null);

const known = (id: number) =>
  measurements.value.get(id) ?? (fetched.value?.of === lots.value ? fetched.value.runs.get(id) : undefined);

const missing = computed(() => taken.value.filter((lot) => known(lot.id) === undefined));

effect(() => {
  const of = lots.value;
  const wanted = missing.value;
  if (!areRunsWanted.value || wanted.length === 0) return;
  void fetchBeside(async () => {
    const ids = wanted.map(({ id }) => id);
    const { whole } = await wholeLots(ids);
    const runsOf = new Map(whole.map(({ lot, measurements: runs }) => [lot.id, runs]));
    const before = fetched.peek();
    fetched.value = {
      of,
      runs: new Map([
        ...(before?.of === of ? before.runs : []),
        ...ids.map((id): [number, readonly SavedMeasurement[]] => [
          id,
          (runsOf.get(id) ?? []).filter((run) => run.exclusionReason === null),
        ]),
      ]),
    };
  });
});

/** The curve of every run of the stage by volume; null until all are here. */
export const thinRuns = computed(() => {
  if (!areRunsWanted.value || missing.value.length > 0) return null;
  return taken.value.flatMap(({ id, name }) => {
    const runs = (known(id) ?? []).filter((run) => run.stage === reference.value?.stage);
    return (byVolume(runs).runs ?? []).map((run) => ({
      name: `${name}, ${run.name}`,
      curve: curveOf(run.distribution),
    }));
  });
});

/** So many lines of the overlay bear their names; more would lie on one another. */
export const maxNamed = 6;

const means = computed(() =>
  (many.value?.others ?? []).flatMap(({ name, of }) =>
    of.of.curve === null ? [] : [{ label: name, curve: of.of.curve }],
  ),
);

export const named = computed(() => means.value.slice(0, maxNamed));

/** What is drawn thin beneath them: the lots further off, and every run where those are wanted. */
export const thinCurves = computed(() => [
  ...means.value.slice(maxNamed).map(({ label, curve }) => ({ name: label, curve })),
  ...(thinRuns.value ?? []),
]);

/** The sizes that hold all that is drawn. */
export const drawnRangeUm = computed(() =>
  overlayRangeUm([...(many.value?.curves ?? []), ...thinCurves.value.map(({ curve }) => curve)]),
);

/** What the thin lines are, and what they leave out. */
export const thinRunsWords = computed(() => {
  if (!areRunsWanted.value) return "";
  if (thinRuns.value === null) return `Loading the runs of ${counted(missing.value.length, "lot")} …`;
  const d50s = thinRuns.value.flatMap(({ curve }) => sizeAt(curve, 0.5) ?? []);
  const d50Words =
    d50s.length === 0 ? "" : `; their D50 ${figures(Math.min(...d50s))}–${figures(Math.max(...d50s))} µm`;
  const all = ownLots.value.reduce((sum, lot) => sum + runsAt(lot), 0);
  const of = all > thinRuns.value.length ? ` of ${all}` : "";
  const unlisted =
    lotCount.value > lots.value.length
      ? ` The first ${lots.value.length} of ${lotCount.value.toLocaleString("en-GB")} lots are searched.`
      : "";
  return `Thin lines: ${thinRuns.value.length}${of} ${reference.value?.stage} runs by volume, of ${counted(taken.value.length, "lot")}${d50Words}.${unlisted}`;
});
