import { useEffect, useRef } from "preact/hooks";
import { ErrorBoundary } from "#ui/parts/errorBoundary.tsx";
import { formulaRow } from "#ui/parts/familyName.ts";
import { HowFound } from "#ui/parts/howFound.tsx";
import { ProblemList } from "#ui/parts/problemList.tsx";
import { FitPictures } from "./fitPictures.tsx";
import { areFitsNear, finishFits, fitted } from "./fitsState.ts";
import { FitTables } from "./fitTables.tsx";

/** How far below the screen it is begun, so that it stands there when one comes to it. */
const ahead = "800px";

/** Fits take a moment: they wait until one comes near them, or prints the page. */
export function Fits() {
  const heading = useRef<HTMLHeadingElement>(null);
  useEffect(() => {
    if (heading.current === null) return;
    const watch = new IntersectionObserver(
      (seen) => {
        if (seen.some((s) => s.isIntersecting)) areFitsNear.value = true;
      },
      { rootMargin: ahead },
    );
    watch.observe(heading.current);
    addEventListener("beforeprint", finishFits);
    return () => {
      watch.disconnect();
      removeEventListener("beforeprint", finishFits);
      areFitsNear.value = false;
    };
  }, []);
  return (
    <section aria-labelledby="fit">
      <h2 id="fit" ref={heading}>
        Curve fit
      </h2>
      <ErrorBoundary what="The curve fit">
        <Fitted />
      </ErrorBoundary>
    </section>
  );
}

/** Which simple curve describes the powder, and the residuals. */
function Fitted() {
  const answer = fitted.value;
  if (answer === null)
    return <p class="lead">{areFitsNear.value ? "Calculating …" : "Calculated when you scroll to it."}</p>;
  const { sentence, problems, ranking } = answer;
  return (
    <>
      <p class="lead">{sentence}</p>
      {ranking.length > 0 && (
        <>
          <FitPictures />
          <HowFound of={ranking.map((row) => formulaRow(row.family))} inputs={[]}>
            <FitTables of={answer} />
          </HowFound>
        </>
      )}
      {problems.length > 0 && (
        <>
          <h3>Notes on the fits ({problems.length})</h3>
          <ProblemList problems={problems} />
        </>
      )}
    </>
  );
}
