import { expect, test, vi } from "vitest";
import { keptRuns } from "#ui/data/ground.ts";
import { check, release, savedBand } from "#ui/data/selection.ts";
import { surface } from "#ui/data/surface.ts";
import { peers } from "#ui/pages/compare/manyLotsState.ts";
import { releaseHere, sizeShift } from "#ui/pages/lot/sizeShiftState.ts";
import { repeatRuns } from "#ui/pages/lot/sizesState.ts";
import { refiringPairs } from "#ui/pages/wheelPlan/refiring.ts";
import { type KeptHere, keepHere } from "../../api/saved.ts";
import { keepLots, openOn, sent } from "./onServer.ts";

// What the page says about a material is the same in a lab of its own and beside another. No outside source is needed.

const count = 3;

/** All that the page answers about a lot; numbers of entries differ between labs and say nothing about the powder. */
async function answersAbout(here: KeptHere, lotId: number): Promise<unknown> {
  await openOn(here, lotId, "re-fired");
  await vi.waitFor(() => expect(refiringPairs.value.length).toBe(count), { timeout: 20_000 });
  await vi.waitFor(() => expect(keptRuns.value.length).toBe(count - 1), { timeout: 20_000 });
  release.value = releaseHere.value;
  const all = {
    band: savedBand.value?.band.name ?? null,
    check: check.value,
    chance: releaseHere.value,
    area: surface.value,
    scatter: repeatRuns.value,
    shift: sizeShift.value,
    blended: peers.value,
    refiring: refiringPairs.value,
  };
  release.value = null;
  return JSON.parse(
    JSON.stringify(all, (key, held: unknown) =>
      ["id", "lotId", "version", "releasedAt"].includes(key) ? undefined : held,
    ),
  );
}

const powders = [
  ["garnet", 1],
  ["oxide", 0.4],
] as const;

async function labOf(which: readonly (typeof powders)[number][]) {
  const here = await keepHere();
  const ids = new Map<string, number[]>();
  for (const [name, scale] of which) {
    ids.set(name, await keepLots(here, name, count, scale));
    await sent(here, "POST", "/api/pairs", {
      stage: "re-fired",
      material: name,
      geometricM2PerG: 0.6,
      betM2PerG: 0.7 + scale,
    });
  }
  return { here, ids };
}

test("every answer of the page about a material is the same beside another and alone", async () => {
  const mixed = await labOf(powders);
  for (const powder of powders) {
    const alone = await labOf([powder]);
    const [name] = powder;
    for (const [i, id] of (alone.ids.get(name) ?? []).entries())
      expect(await answersAbout(mixed.here, mixed.ids.get(name)?.[i] ?? 0)).toEqual(
        await answersAbout(alone.here, id),
      );
    await alone.here.close();
  }
  await mixed.here.close();
}, 60_000);
