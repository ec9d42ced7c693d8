import { usualPriors } from "#model/mill/trials/priors.ts";
import { arePriorsEdited, enterPriors, savePriors } from "./priors.ts";

/** Back to the usual priors, or saving the changed ones with the mill. */
export function SavePriors() {
  return (
    <>
      <button type="button" onClick={() => enterPriors(usualPriors)}>
        Reset to the usual values
      </button>{" "}
      <button type="button" disabled={!arePriorsEdited.value} onClick={() => void savePriors()}>
        Save the priors with the mill
      </button>
    </>
  );
}
