import { useEffect, useRef } from "preact/hooks";
import type { SavedLot } from "#api/records/records.ts";
import { clash, trouble } from "#ui/data/client.ts";
import { useCard } from "#ui/data/useCard.ts";
import { DayMadeForm } from "./dayMadeForm.tsx";
import { NewFromLot } from "./newFromLot.tsx";
import { OriginForm } from "./originForm.tsx";
import { StageMasses } from "./stageMasses.tsx";
import { StateForm } from "./stateForm.tsx";

/** Along the right side, from top to bottom: what it is about stays in sight. */
const beside = { width: "min(58rem, 100vw)", height: "100vh", maxHeight: "none", margin: "0 0 0 auto" };

/** What a lot is beside its measurements: state, day made, where its powder came from, what its stages weighed. */
export function AboutLot({ lot, onClose }: { lot: SavedLot; onClose: () => void }) {
  const dialog = useRef<HTMLDialogElement>(null);
  const { card } = useCard(lot);
  useEffect(() => dialog.current?.showModal(), []);
  // Where someone else was quicker, both versions are shown on the page behind it.
  const hasClash = clash.value !== null;
  useEffect(() => {
    if (hasClash) dialog.current?.close();
  }, [hasClash]);
  return (
    <dialog ref={dialog} class="going" style={beside} aria-labelledby="about-lot" onClose={onClose}>
      <h2 id="about-lot" class="first">
        {lot.name}: state and origin{" "}
        <button type="button" class="small" onClick={() => dialog.current?.close()}>
          Close
        </button>
      </h2>
      {trouble.value !== null && (
        <p role="alert" class="problem">
          {trouble.value}
        </p>
      )}
      <StateForm key={`state ${lot.version}`} lot={lot} />
      <DayMadeForm key={`day ${lot.version}`} lot={lot} />
      <OriginForm key={`origin ${lot.version}`} lot={lot} />
      <NewFromLot lot={lot} onMade={() => dialog.current?.close()} />
      {card !== null && <StageMasses lot={lot} saved={card.stages} />}
    </dialog>
  );
}
