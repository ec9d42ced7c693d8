import { useEffect, useState } from "preact/hooks";
import type { Contract } from "#api/contract/contract.ts";
import { nothingCorrected } from "#model/answers/compare/instrumentsAnswer.ts";
import { ask, fetchBeside } from "#ui/data/client.ts";
import { unbroken } from "#ui/parts/format.ts";
import { chosenCorrection, correction } from "./compared.ts";

type Offset = Contract["GET /api/instrument-offset"]["answer"];

/** The offset between the instruments of the two sides, from lots measured on both; the correction is offered, never made unasked. */
export function InstrumentOffset({ names }: { names: { first: string; second: string; material: string } }) {
  const { first, second, material } = names;
  const [found, setFound] = useState<Offset | null>(null);
  useEffect(() => {
    let isWanted = true;
    setFound(null);
    void fetchBeside(async () => {
      const offset = await ask("GET /api/instrument-offset", { query: { first, second, material } });
      if (isWanted) setFound(offset);
    });
    return () => {
      isWanted = false;
    };
  }, [first, second, material]);
  const offset = found?.offset ?? null;
  const isTold = offset !== null && offset.low !== null && offset.high !== null;
  const sentence = found?.sentence ?? "Looking for lots measured on both …";
  const said = unbroken(correction.value === null ? sentence : sentence.replace(nothingCorrected, "").trim());
  return (
    <p class="quiet" role="status" data-offset>
      Measured on {first} and on {second}. {said}
      {isTold && (
        <label>
          {" "}
          <input
            type="checkbox"
            checked={correction.value !== null}
            onChange={(event) => {
              chosenCorrection.value = event.currentTarget.checked
                ? { first, second, percent: offset.percent }
                : null;
            }}
          />{" "}
          {`Compare as ${first} would find both (this page only; what is saved stays)`}
        </label>
      )}
    </p>
  );
}
