import { looking, readCount, stopLooking } from "#ui/data/incoming.ts";
import { lot, runs, stage } from "#ui/data/selection.ts";

/** Whose verdict is shown while a table is on its way in: that of the table, or still the saved lot's. */
export function Preview() {
  if (looking.value === null)
    return (
      <p class="problem" role="status">
        Your table is not assessed yet: the questions above need an answer first. The verdict below is for{" "}
        {lot.value?.name}, {stage.value?.stage}.
      </p>
    );
  return (
    <p class="lead">
      Preview of {runs.value.length === 1 ? "one measurement" : `${runs.value.length} measurements`} from your
      table{readCount.value > runs.value.length && ", the first"}, not saved yet.{" "}
      <button type="button" onClick={stopLooking}>
        Back to the saved lot
      </button>
    </p>
  );
}
