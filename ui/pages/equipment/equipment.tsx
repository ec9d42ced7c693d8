import { counted } from "#model/words/wording.ts";
import { ownKnown } from "#ui/data/knownOfMill.ts";
import { excludedTrials, mill, trials } from "#ui/data/mill.ts";
import { material } from "#ui/data/selection.ts";
import { rpm } from "#ui/parts/format.ts";
import { later } from "#ui/parts/later.tsx";
import { NearSection } from "#ui/parts/nearSection.tsx";
import { MillAndMaterial } from "./millAndMaterial.tsx";
import { MillForm } from "./millForm.tsx";
import { NewMill } from "./newMill.tsx";
import { TrialForm } from "./trialForm.tsx";
import { TrialTable } from "./trialTable.tsx";
import { UnnamedTrials } from "./unnamedTrials.tsx";

const PressureMill = later("the jet mill", async () => (await import("./pressureMill.tsx")).PressureMill);
const StreamBalance = later(
  "the stream balance",
  async () => (await import("./streamBalance.tsx")).StreamBalance,
);
const BatchMilling = later("batch milling", async () => (await import("./batchMilling.tsx")).BatchMilling);

const Instruments = later("the instruments", async () => (await import("./instruments.tsx")).Instruments);

/** The mills with their data and trials, and what is measured on a separator or a batch mill. */
export function Equipment() {
  const { value: saved } = mill;
  return (
    <>
      <h1>{headline()}</h1>
      {saved === null ? (
        <NewMill />
      ) : (
        <>
          <TrialTable />
          <UnnamedTrials />
          <div class="columns halves">
            <section class="aligned">
              <h2>Mill data</h2>
              <MillForm key={`${saved.id} ${saved.version}`} saved={saved} />
            </section>
            <section class="aligned">
              <h2>Add a trial</h2>
              <TrialForm saved={saved} />
            </section>
            {material.value !== null && material.value !== "" && (
              <section class="aligned">
                <h2>{`${saved.name} with ${material.value}`}</h2>
                <MillAndMaterial
                  key={`${saved.id} ${material.value} ${ownKnown.value?.version}`}
                  material={material.value}
                />
              </section>
            )}
          </div>
        </>
      )}
      <NearSection heading="Instruments and their checks" of={Instruments} />
      <NearSection heading="Jet mill without a classifier wheel" of={PressureMill} />
      <NearSection heading="Stream balance of a separator: feed, fines and coarse" of={StreamBalance} />
      <NearSection heading="Batch mill: grinding time to a size" of={BatchMilling} />
    </>
  );
}

function headline(): string {
  const { value: saved } = mill;
  if (saved === null) return "No classifier mill is saved yet.";
  const rated = saved.mill.ratedSpeedRpm;
  const speed = rated === null ? "no rated speed entered" : `rated speed ${rpm(rated)}`;
  const of = material.value === null ? "" : ` of ${material.value}`;
  const included = `${counted(trials.value.length, "trial")}${of}`;
  const excluded = excludedTrials.value.length === 0 ? "" : `, ${excludedTrials.value.length} excluded`;
  return `${saved.name}: ${speed}, ${included}${excluded}.`;
}
