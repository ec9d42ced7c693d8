import { expect, test, vi } from "vitest";
import type { SavedMeasurement } from "#api/records/records.ts";
import { releaseAnswer } from "#model/answers/lot/releaseAnswer.ts";
import { keptRuns } from "#ui/data/ground.ts";
import { band, release, savedBand } from "#ui/data/selection.ts";
import { releaseHere, sizeShift } from "#ui/pages/lot/sizeShiftState.ts";
import { repeatRuns } from "#ui/pages/lot/sizesState.ts";
import { refiringPairs } from "#ui/pages/wheelPlan/refiring.ts";
import { keepHere } from "../../api/saved.ts";
import { keepLots, openOn, sent } from "./onServer.ts";

// Page, report, release record, command line and API answer from the same lots: those that the server names. No outside
// source is needed; it is the rule of the ground (model/lot/ground.ts).

/** None of these runs is of a portion of its own. */
const withoutPortions = (runs: readonly SavedMeasurement[]) => runs.map(({ portion: _, ...run }) => run);
const plain = (value: unknown) => JSON.parse(JSON.stringify(value));

test("of 70 lots the page learns from the sixty that the server names, whatever else it has loaded", async () => {
  const here = await keepHere();
  const [own = 0] = await keepLots(here, "garnet", 70, 1);
  await keepLots(here, "oxide", 2, 0.4);
  await openOn(here, own, "re-fired");
  await vi.waitFor(() => expect(keptRuns.value.length).toBe(60), { timeout: 20_000 });
  const ground = await sent(here, "GET", `/api/lots/${own}/ground?stage=re-fired`);
  expect(keptRuns.value.map((runs) => runs[0]?.lotId)).toEqual(
    ground.lots.map(({ id }: { id: number }) => id).toReversed(),
  );
  expect(savedBand.value?.band.name).toBe("target garnet");

  // The chance, the shift and the pooled scatter of the page are those of the release record.
  const released = await sent(here, "POST", `/api/lots/${own}/frozen`, {
    stage: "re-fired",
    name: "r",
    note: "",
  });
  const { frozen } = await sent(here, "GET", `/api/frozen/${released.id}`);
  const kept = await here.store.onSheet(own, "re-fired");
  const target = band.value;
  if (kept === null || target === null) throw new Error("the lot is not there");
  const ofServer = releaseAnswer(
    withoutPortions(kept.measurements.filter((run) => run.stage === "re-fired")),
    target,
    { kept: kept.kept.map(withoutPortions) },
  );
  expect(frozen.inputs.ground.lots.length).toBe(60);
  expect(plain(releaseHere.value)).toEqual(plain(ofServer));
  expect(releaseHere.value?.keptLots).toBe(60);
  expect(sizeShift.value).not.toBeNull();
  expect(repeatRuns.value.lot).not.toBeNull();
  release.value = null;

  // A plan for the next lot learns from this one too.
  await vi.waitFor(() => expect(refiringPairs.value.length).toBe(60), { timeout: 20_000 });
  const whole = await sent(here, "GET", `/api/lots/${own}/ground?stage=re-fired&withItself=true`);
  expect(refiringPairs.value.map(({ lot }) => lot)).toEqual(
    whole.lots.map(({ name }: { name: string }) => name).toReversed(),
  );
  await here.close();
}, 60_000);
