import { useEffect, useState } from "preact/hooks";
import { formulaRow } from "../parts/familyName.ts";
import { HowFound } from "../parts/howFound.tsx";
import { ProblemList } from "../parts/problemList.tsx";
import { fitted } from "../state/fits.ts";
import { FitPictures } from "./fitPictures.tsx";
import { FitTables } from "./fitTables.tsx";

/** Fits take a moment: the verdict and the picture above are painted first. */
export function Fits() {
  const [isPainted, setPainted] = useState(false);
  useEffect(() => {
    const timer = setTimeout(() => setPainted(true), 0);
    return () => clearTimeout(timer);
  }, []);
  return isPainted ? <Fitted /> : <h2>Curve fit</h2>;
}

/** Which simple curve describes the powder, and what it leaves over. */
function Fitted() {
  const { sentence, problems, ranking } = fitted.value;
  return (
    <section aria-labelledby="fit">
      <h2 id="fit">Curve fit</h2>
      <p class="lead">{sentence}</p>
      {ranking.length > 0 && (
        <>
          <FitPictures />
          <HowFound of={ranking.map((row) => formulaRow(row.family))} inputs={[]}>
            <FitTables />
          </HowFound>
        </>
      )}
      {problems.length > 0 && (
        <details>
          <summary>What these fits cannot say ({problems.length})</summary>
          <ProblemList problems={problems} />
        </details>
      )}
    </section>
  );
}
