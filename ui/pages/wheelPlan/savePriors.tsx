import { usualPriors } from "#model/mill/trials/priors.ts";
import { arePriorsEdited, enterPriors, savePriors } from "./priors.ts";

/** Back to the usual beliefs, or keeping the changed ones with the mill. */
export function SavePriors() {
  return (
    <>
      <button type="button" onClick={() => enterPriors(usualPriors)}>
        As it was
      </button>{" "}
      <button type="button" disabled={!arePriorsEdited.value} onClick={() => void savePriors()}>
        Keep these with the mill
      </button>
    </>
  );
}
