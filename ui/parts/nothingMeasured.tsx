import { lab } from "#ui/data/lab.ts";
import { demoPath } from "#ui/data/labPaths.ts";
import { lot } from "#ui/data/selection.ts";

/** A lot without a measurement: what to do next, in place of empty pictures and tables. */
export function NothingMeasured() {
  const current = lot.value;
  return (
    <>
      <h1>{current === null ? "No lot is saved yet." : `${current.name} has no measurements yet.`}</h1>
      <p class="lead">
        Import the table of one of its stages: paste it anywhere on this page, drop its file, or press Import
        a table above. The verdict, the curve and the surface area appear at once; save the table in the lot
        when you are ready.
      </p>
      {current === null && lab.value?.hasDemo === true && lab.value.shown === "own" && (
        <p>
          <a href={demoPath()}>The demo</a> shows a lab at work; nothing done there touches this one.
        </p>
      )}
    </>
  );
}
