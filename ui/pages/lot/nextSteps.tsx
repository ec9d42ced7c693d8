import { linkTo } from "#ui/data/address.ts";
import { band, gap } from "#ui/data/selection.ts";
import { ErrorBoundary } from "#ui/parts/errorBoundary.tsx";
import { PrintReport } from "./printReport.tsx";
import { SizeShiftLine } from "./sizeShift.tsx";

/** What would bring the lot into the band, or keep it there, and where one goes from here. */
export function NextSteps() {
  return (
    <div class="next-steps">
      {band.value !== null && gap.value === null && (
        <ErrorBoundary what="The chance of being in band">
          <SizeShiftLine />
        </ErrorBoundary>
      )}
      <p class="no-print actions">
        <PrintReport />
        <a href={linkTo({ page: "compare" })}>Compare its stages</a>
        <a href={linkTo({ page: "wheel-plan" })}>Plan the next milling</a>
      </p>
    </div>
  );
}
