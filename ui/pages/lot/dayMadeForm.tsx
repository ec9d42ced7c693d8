import { useState } from "preact/hooks";
import type { SavedLot } from "#api/records/records.ts";
import { changeLot } from "#ui/data/saving.ts";
import { lotGiven } from "#ui/data/standing.ts";
import { DayField } from "#ui/parts/dayField.tsx";
import { WithReason } from "#ui/parts/withReason.tsx";

/** The day a lot was made, which orders the lots, and whether it teaches others. */
export function DayMadeForm({ lot }: { lot: SavedLot }) {
  const [day, setDay] = useState(lot.dateMade ?? "");
  return (
    <>
      <form
        aria-label="Day the lot was made"
        onSubmit={(event) => {
          event.preventDefault();
          void changeLot(lot, { ...lotGiven(lot), dateMade: day === "" ? null : day });
        }}
      >
        <h3>Day made</h3>
        <DayField label="Made on" value={day} onChange={setDay} />
        <button type="submit" disabled={day === (lot.dateMade ?? "")}>
          Save the day
        </button>
      </form>
      {lot.exclusionReason === null ? (
        <p>
          It teaches other lots of its material.{" "}
          <WithReason
            verb="Exclude"
            of="the lot from what others learn"
            isNeeded
            onDone={(exclusionReason) => changeLot(lot, { ...lotGiven(lot), exclusionReason })}
          />
        </p>
      ) : (
        <p>
          No other lot learns from it: {lot.exclusionReason}.{" "}
          <button
            type="button"
            class="small"
            onClick={() => void changeLot(lot, { ...lotGiven(lot), exclusionReason: null })}
          >
            Include it again
          </button>
        </p>
      )}
    </>
  );
}
