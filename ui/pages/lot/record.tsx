import type { SavedLot, SavedMeasurement } from "#api/records/records.ts";
import type { Stage } from "#model/lot/stages.ts";
import { goTo } from "#ui/data/address.ts";
import type { Card } from "#ui/data/card.ts";
import { excludedRuns, measurements } from "#ui/data/entries.ts";
import { changeLot, remove } from "#ui/data/saving.ts";
import { useStages } from "#ui/data/steps.ts";
import { later } from "#ui/parts/later.tsx";
import { LotForm } from "#ui/parts/lotForm.tsx";
import { WithReason } from "#ui/parts/withReason.tsx";
import { LotRuns } from "./lotRuns.tsx";
import { MetadataForms } from "./metadataForms.tsx";
import { Portions } from "./portions.tsx";
import { ReleaseRecords } from "./releaseRecords.tsx";
import { StageSettings } from "./stageSettings.tsx";

const Photographs = later("photographs", async () => (await import("./photographs.tsx")).Photographs);

/** What is saved about a lot: its runs, how they were measured, how its stages were made, what was released, its own data. */
export function Record({ lot: saved, card }: { lot: SavedLot; card: Card }) {
  const { all } = useStages(saved);
  const runs = runsOf(saved.id, all);
  return (
    <section aria-labelledby="record">
      <h2 id="record">Record: {card.released.length === 0 ? "draft" : "released"}</h2>
      <LotRuns runs={runs} />
      <Portions runs={runs} />
      <MetadataForms runs={runs} />
      <StageSettings lot={saved} saved={card.stages} />
      <Photographs lot={saved} saved={card.photographs} />
      <ReleaseRecords lot={saved} saved={card.released} />
      <h3>Lot data</h3>
      <LotForm
        key={saved.version}
        lot={{
          name: saved.name,
          material: saved.material,
          densityGPerCm3: saved.densityGPerCm3,
          bandId: saved.bandId,
          note: saved.note,
        }}
        button="Save the lot data"
        onSave={async (changed) => {
          await changeLot(saved, changed);
        }}
      />
      <div>
        <WithReason
          verb="Delete"
          of={`${saved.name} with its runs`}
          onDone={async (why) => {
            const isGone = await remove("lots", saved, why);
            if (isGone) goTo({ page: "lots", lotId: null, stage: null });
            return isGone;
          }}
        />
      </div>
    </section>
  );
}

/** Every run of a lot, excluded or not, in the order of the process. */
function runsOf(lotId: number, order: readonly Stage[]): SavedMeasurement[] {
  return [...(measurements.value.get(lotId) ?? []), ...(excludedRuns.value.get(lotId) ?? [])].sort(
    (a, b) => order.indexOf(a.stage) - order.indexOf(b.stage) || a.id - b.id,
  );
}
