import { useState } from "preact/hooks";
import type { SavedMeasurement } from "#api/records/records.ts";
import {
  type MeasurementMetadata,
  type PartialMetadata,
  statedFields,
} from "#distributions/measurementMetadata.ts";
import { metadataText } from "#model/answers/report/metadataText.ts";
import type { Stage } from "#model/lot/stages.ts";
import { saveMetadata } from "#ui/data/saving.ts";
import { EditInPlace } from "#ui/parts/editInPlace.tsx";
import { unbroken } from "#ui/parts/format.ts";
import { MetadataFields, shown } from "#ui/parts/metadataFields.tsx";

/** How the runs of each stage were measured: read, and recorded for all of a stage at once. */
export function MetadataForms({ runs }: { runs: readonly SavedMeasurement[] }) {
  return (
    <>
      <h3>How it was measured</h3>
      {[...new Set(runs.map((run) => run.stage))].map((stage) => {
        const ofStage = runs.filter((run) => run.stage === stage);
        const versions = ofStage.map((run) => `${run.id} ${run.version}`).join();
        return ofStage.length > 0 && <StageForm key={`${stage} ${versions}`} stage={stage} runs={ofStage} />;
      })}
    </>
  );
}

function StageForm({ stage, runs }: { stage: Stage; runs: readonly SavedMeasurement[] }) {
  const [entered, setEntered] = useState<PartialMetadata>({});
  const many = runs.length === 1 ? "the run" : `the ${runs.length} runs`;
  return (
    <EditInPlace
      of={`how ${stage} was measured`}
      finding={
        <>
          {stage}: {unbroken(metadataText(runs))}
        </>
      }
    >
      <form
        aria-label={`How ${stage} was measured`}
        onSubmit={(event) => {
          event.preventDefault();
          void saveMetadata(runs, entered);
        }}
      >
        <MetadataFields
          how={shown(entered, shared(runs))}
          onChange={(change) => setEntered({ ...entered, ...change })}
        />
        <button type="submit" disabled={Object.keys(entered).length === 0}>
          Save for {many} of {stage}
        </button>
      </form>
    </EditInPlace>
  );
}

/** What all of the runs state alike. */
function shared(runs: readonly SavedMeasurement[]): MeasurementMetadata {
  const [first, ...others] = runs;
  const how = first?.howMeasured ?? {};
  const same = statedFields.filter(({ field }) =>
    others.every((run) => run.howMeasured?.[field] === how[field]),
  );
  return Object.fromEntries(
    same.flatMap(({ field }) => (how[field] === undefined ? [] : [[field, how[field]]])),
  );
}
