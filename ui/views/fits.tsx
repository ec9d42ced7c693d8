import { useEffect, useState } from "preact/hooks";
import { familyWords } from "#model/answers/fitAnswer.ts";
import { capital } from "#model/answers/wording.ts";
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
          <FitTables />
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

/** A family as it heads a row or labels a line. */
export function familyName(family: keyof typeof familyWords): string {
  return capital(familyWords[family].replace(/^(the|a) /, "").replace(/ curve$/, ""));
}
