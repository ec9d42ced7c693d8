import { readFileSync } from "node:fs";
import { afterEach, describe, expect, test } from "vitest";
import type { SavedBand, SavedLot, SavedMeasurement, SavedPair } from "#api/records/records.ts";
import { readTable } from "#distributions/tables/readTable.ts";
import { parseBand } from "#model/band/bandFile.ts";
import { address } from "#ui/data/address.ts";
import { bands, lots, measurements, pairs } from "#ui/data/entries.ts";
import { check, savedBand } from "#ui/data/selection.ts";
import { surface } from "#ui/data/surface.ts";
import { sizeShift } from "#ui/pages/lot/sizeShiftState.ts";
import { repeatRuns } from "#ui/pages/lot/sizesState.ts";
import { refiringPairs } from "#ui/pages/wheelPlan/refiring.ts";

const sample = (path: string) =>
  readFileSync(new URL(`../../../distributions/samples/${path}`, import.meta.url), "utf8");
const { band } = parseBand(JSON.parse(sample("bands/garnet-target.json")), null);

type Runs = readonly (readonly [number, readonly SavedMeasurement[]])[];
interface Lab {
  readonly lots: readonly SavedLot[];
  readonly runs: Runs;
  readonly bands: readonly SavedBand[];
  readonly pairs: readonly SavedPair[];
}

/** A lab of two lots, milled and re-fired, all sizes by a factor: an invented oxide beside the garnet of the demo. */
function labOf(material: string, firstId: number, factor: number): Lab {
  const ids = [firstId, firstId + 1];
  const names = ["garnet-07", "garnet-09"];
  const runs = ids.map((id, i): [number, SavedMeasurement[]] => {
    const of = (stage: "milled" | "re-fired") =>
      readTable(sample(`lots/${names[i]}/${stage}.csv`), stage, {}).measurements.map((m, k) => ({
        id: 1000 * id + (stage === "milled" ? 0 : 500) + k,
        version: 1,
        lotId: id,
        stage,
        name: m.name,
        file: stage,
        exclusionReason: null,
        distribution: {
          ...m.distribution,
          lowerUm: m.distribution.lowerUm.map((x) => x * factor),
          upperUm: m.distribution.upperUm.map((x) => x * factor),
        },
      }));
    return [id, [...of("milled"), ...of("re-fired")]];
  });
  return {
    lots: ids.map((id, i) => ({
      id,
      version: 1,
      name: `${material} ${i}`,
      material,
      densityGPerCm3: 4 * factor,
      bandId: i === 0 ? firstId : null,
      note: "",
      keptAt: "2026-11-30T00:00:00Z",
      materialId: firstId,
      dateMade: null,
      parents: [],
      state: { name: "open", by: "", at: "", why: "", lotId: null },
      exclusionReason: null,
      stages: [
        { stage: "milled", runs: 4 },
        { stage: "re-fired", runs: 6 },
      ],
    })),
    runs,
    bands: band === null ? [] : [{ id: firstId, version: 1, band: { ...band, name: material } }],
    pairs: [0.4, 0.5, 0.6].map((area, i) => ({
      id: firstId + i,
      version: 1,
      stage: "re-fired",
      material,
      geometricM2PerG: area,
      betM2PerG: area * (1 + factor / 4 + 0.01 * i),
    })),
  };
}

function open(labs: readonly Lab[], lotId: number) {
  lots.value = labs.flatMap((lab) => lab.lots).toSorted((a, b) => a.id - b.id);
  measurements.value = new Map(labs.flatMap((lab) => lab.runs));
  bands.value = labs.flatMap((lab) => lab.bands);
  pairs.value = labs.flatMap((lab) => lab.pairs);
  address.value = { ...address.value, lotId, stage: "re-fired", bandId: null };
  return {
    band: savedBand.value?.band.name ?? null,
    check: check.value,
    area: surface.value,
    scatter: repeatRuns.value,
    shift: sizeShift.value,
    refiring: refiringPairs.value,
  };
}

afterEach(() => {
  lots.value = [];
  measurements.value = new Map();
  bands.value = [];
  pairs.value = [];
});

const garnet = labOf("yttrium aluminium garnet", 1, 1);
const oxide = labOf("an invented oxide", 11, 1.4);

describe("two materials in one lab", () => {
  test.each([1, 2])("every answer about lot %i of the garnet is the same as in a lab of its own", (id) => {
    const alone = open([garnet], id);
    expect(alone.shift).not.toBeNull();
    expect(alone.refiring.length).toBe(2);
    expect(open([oxide, garnet], id)).toEqual(alone);
  });

  test.each([11, 12])("and about lot %i of the oxide", (id) => {
    expect(open([garnet, oxide], id)).toEqual(open([oxide], id));
  });
});
