import { areRunsHere } from "#ui/data/entries.ts";
import { looking } from "#ui/data/incoming.ts";
import { check, isTableWaiting, lot, runs } from "#ui/data/selection.ts";
import { later } from "#ui/parts/later.tsx";
import { StageLine } from "#ui/parts/stageLine.tsx";
import { LotCurves } from "./lotCurves.tsx";
import { LotLimits } from "./lotLimits.tsx";
import { Headline } from "./verdict.tsx";

// Beside and below the verdict: loaded while it is read.
const NextSteps = later(
  "what to do next",
  async () => (await import("./nextSteps.tsx")).NextSteps,
  // As high as what comes, so that it moves nothing.
  () => <p class="next-steps">Calculating the chance that the lot meets all limits together …</p>,
);
const Preview = later("the preview", async () => (await import("./preview.tsx")).Preview);
const Near = later(
  "what stands below",
  async () => (await import("#ui/parts/near.tsx")).Near,
  () => <p class="tall" />,
);
const BelowLimits = later(
  "the rest of the lot",
  async () => (await import("./belowLimits.tsx")).BelowLimits,
  // As high as what comes, so that what is below it is not taken for near.
  () => <p class="quiet tall">Loading sizes, results and record …</p>,
);
const nothing = () => null;
const LotStanding = later("its state", async () => (await import("./lotStanding.tsx")).LotStanding, nothing);
const InheritedStages = later(
  "its state",
  async () => (await import("./lotStanding.tsx")).InheritedStages,
  nothing,
);
const NothingMeasured = later(
  "what to do",
  async () => (await import("#ui/parts/nothingMeasured.tsx")).NothingMeasured,
);
const FrameNotes = later("the notes", async () => (await import("./frameNotes.tsx")).FrameNotes);

/** One lot: its stages, verdict, curves, limits and what to do in one frame; sizes, results and record below. */
export function Lot() {
  const isMeasured = runs.value.length > 0;
  return (
    <>
      {isMeasured ? (
        <Measured />
      ) : (
        <>
          <StageLine about={LotStanding} inherited={InheritedStages} />
          {areRunsHere(lot.value === null ? [] : [lot.value.id]) ? (
            <NothingMeasured />
          ) : (
            <p class="quiet soon">Loading the runs …</p>
          )}
        </>
      )}
      {(isMeasured || lot.value !== null) && (
        <Near name="Chance of meeting the limits, sizes, repeat runs, fines, fits, results and record">
          <BelowLimits />
        </Near>
      )}
    </>
  );
}

function Measured() {
  const problems = check.value?.problems ?? [];
  return (
    <div class="frame">
      <StageLine about={LotStanding} inherited={InheritedStages} />
      {(looking.value !== null || isTableWaiting.value) && <Preview />}
      <Headline />
      {problems.length > 0 && <FrameNotes problems={problems} />}
      <div class="columns">
        <LotCurves />
        <LotLimits />
      </div>
      <NextSteps />
    </div>
  );
}
