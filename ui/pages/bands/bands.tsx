import { useState } from "preact/hooks";
import type { SavedLot, SavedMeasurement } from "#api/records/records.ts";
import { bandRequirement } from "#model/answers/lot/bandRequirement.ts";
import { bandFromRuns, minReferenceRuns } from "#model/band/fromReference.ts";
import { byVolume } from "#model/lot/byVolume.ts";
import { capital, counted } from "#model/words/wording.ts";
import { bands, lots, measurements } from "#ui/data/entries.ts";
import { saveBand } from "#ui/data/saving.ts";
import { BetCalibration } from "#ui/parts/betCalibration.tsx";
import { unbroken } from "#ui/parts/format.ts";
import { HowFound } from "#ui/parts/howFound.tsx";
import { later } from "#ui/parts/later.tsx";
import { ProblemList } from "#ui/parts/problemList.tsx";
import { BandForm } from "./bandForm.tsx";
import { freeBandName } from "./freeBandName.ts";

function headline(): string {
  const [first] = bands.value;
  if (first === undefined) return "No target band is saved yet.";
  return bands.value.length === 1
    ? unbroken(bandRequirement(first.band))
    : `${capital(counted(bands.value.length, "target band"))} are saved.`;
}

const CustomerTarget = later(
  "a customer's target",
  async () => (await import("./customerTarget.tsx")).CustomerTarget,
);

/** The target bands, the reference powders they may be drawn from, and the BET calibration. */
export function Bands() {
  const references = lots.value.flatMap((lot) => {
    const runs = (measurements.value.get(lot.id) ?? []).filter((m) => m.stage === "reference");
    return runs.length === 0 ? [] : [{ lot, runs }];
  });
  return (
    <>
      <h1>{headline()}</h1>
      {bands.value.map((saved) => (
        <BandForm key={saved.id} saved={saved} />
      ))}
      <CustomerTarget />
      <HowFound of={["band from a reference", "verdict", "verdict of the curve", "BET ahead"]} inputs={[]}>
        <h2>Reference powders</h2>
        {references.length === 0 && (
          <p class="lead">
            Import the runs of a reference powder as stage “reference”; with at least {minReferenceRuns} runs
            a band can be made from them.
          </p>
        )}
        {references.map(({ lot, runs }) => (
          <Reference key={lot.id} lot={lot} runs={runs} />
        ))}
        <BetCalibration />
      </HowFound>
    </>
  );
}

/** A reference powder with its runs, from which a band can be made. */
function Reference({ lot, runs }: { lot: SavedLot; runs: readonly SavedMeasurement[] }) {
  const [said, setSaid] = useState("");
  const { runs: usable, problems } = byVolume(runs);
  const missing = minReferenceRuns - runs.length;
  return (
    <div>
      {lot.name}: {runs.length === 1 ? "one run" : `${runs.length} runs`}.{" "}
      <button
        type="button"
        disabled={missing > 0 || usable === null}
        onClick={async () => {
          const { densityGPerCm3 } = lot;
          const made = bandFromRuns(runs, {
            name: freeBandName(`${lot.name} band`),
            stage: "re-fired",
            densityGPerCm3,
          });
          if (await saveBand(made, null))
            setSaid("A band for re-fired powder is saved; edit its name, stage and limits above.");
        }}
      >
        Make a band from it
      </button>{" "}
      <span role="status">{said}</span>
      {missing > 0 && (
        <span class="quiet">
          {missing} more {missing === 1 ? "run is" : "runs are"} needed.
        </span>
      )}
      <ProblemList problems={problems} />
    </div>
  );
}
