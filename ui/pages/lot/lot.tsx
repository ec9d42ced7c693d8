import { looking, readCount, stopLooking } from "#ui/data/incoming.ts";
import { band, check, gap, lot, runs } from "#ui/data/selection.ts";
import { later } from "#ui/parts/later.tsx";
import { ProblemList } from "#ui/parts/problemList.tsx";
import { StageLine } from "#ui/parts/stageLine.tsx";
import { LotCurves } from "./lotCurves.tsx";
import { LotLimits } from "./lotLimits.tsx";
import { BandChoice, Headline } from "./verdict.tsx";

// Below the verdict: loaded while it is read.
const PrintReport = later(
  "the report",
  async () => (await import("./printReport.tsx")).PrintReport,
  () => <p class="no-print field-height">Loading the report …</p>,
);
const SizeShift = later(
  "the chance of being in band",
  async () => (await import("./sizeShift.tsx")).SizeShiftLine,
  // About as long as the answer, so that the answer moves nothing.
  () => (
    <p class="two-lines">
      Calculating the chance that the lot meets all limits together, and the size shift that would raise it …
    </p>
  ),
);
const BelowLimits = later(
  "the rest of the lot",
  async () => (await import("./belowLimits.tsx")).BelowLimits,
  // As high as what comes, so that what is below it is not taken for near.
  () => <p class="quiet tall">Loading sizes, results and record …</p>,
);
const NothingMeasured = later(
  "what to do",
  async () => (await import("#ui/parts/nothingMeasured.tsx")).NothingMeasured,
);

/** One lot: its verdict, curves and limits first, then predicted BET, sizes, results and record. */
export function Lot() {
  const isMeasured = runs.value.length > 0;
  return (
    <>
      <StageLine />
      {isMeasured ? <Measured /> : <NothingMeasured />}
      {(isMeasured || lot.value !== null) && <BelowLimits />}
    </>
  );
}

function Measured() {
  return (
    <>
      {looking.value !== null && (
        <p class="lead">
          Preview of {runs.value.length === 1 ? "one measurement" : `${runs.value.length} measurements`} from
          your table{readCount.value > runs.value.length && ", the first"}, not saved yet.{" "}
          <button type="button" onClick={stopLooking}>
            Back to the saved lot
          </button>
        </p>
      )}
      <Headline />
      <BandChoice />
      {band.value !== null && gap.value === null && <SizeShift />}
      <PrintReport />
      {check.value !== null && <ProblemList problems={check.value.problems} />}
      <div class="columns">
        <LotCurves />
        <LotLimits />
      </div>
    </>
  );
}
