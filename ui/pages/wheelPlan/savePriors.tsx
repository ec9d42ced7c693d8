import { usualPriors } from "#model/mill/trials/priors.ts";
import { believe, isBeliefEdited, keepBeliefs } from "./priors.ts";

/** Back to the usual beliefs, or keeping the changed ones with the mill. */
export function KeepBeliefs() {
  return (
    <>
      <button type="button" onClick={() => believe(usualPriors)}>
        As it was
      </button>{" "}
      <button type="button" disabled={!isBeliefEdited.value} onClick={() => void keepBeliefs()}>
        Keep these with the mill
      </button>
    </>
  );
}
