import { useEffect, useRef, useState } from "preact/hooks";
import { formulaRow } from "../parts/familyName.ts";
import { HowFound } from "../parts/howFound.tsx";
import { ProblemList } from "../parts/problemList.tsx";
import { fitted } from "../state/fits.ts";
import { FitPictures } from "./fitPictures.tsx";
import { FitTables } from "./fitTables.tsx";

/** How far below the screen it is begun, so that it stands there when one comes to it. */
const ahead = "800px";

/** Fits take a moment: they wait until one comes near them, or prints the page. */
export function Fits() {
  const heading = useRef<HTMLHeadingElement>(null);
  const [isNear, setNear] = useState(false);
  useEffect(() => {
    if (heading.current === null) return;
    const come = () => setNear(true);
    const watch = new IntersectionObserver((seen) => seen.some((s) => s.isIntersecting) && come(), {
      rootMargin: ahead,
    });
    watch.observe(heading.current);
    addEventListener("beforeprint", come);
    return () => {
      watch.disconnect();
      removeEventListener("beforeprint", come);
    };
  }, [isNear]);
  return isNear ? (
    <Fitted />
  ) : (
    <>
      <h2 ref={heading}>Curve fit</h2>
      <p class="lead">Worked out as you come to it.</p>
    </>
  );
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
