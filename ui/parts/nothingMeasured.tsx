import { lot } from "#ui/data/selection.ts";

/** A lot without a measurement: what to do next, in place of empty pictures and tables. */
export function NothingMeasured() {
  const current = lot.value;
  return (
    <>
      <h1>
        {current === null ? "No lot is kept yet." : `Nothing of ${current.name} has been measured yet.`}
      </h1>
      <p class="lead">
        Bring in the table of one of its stages: paste it anywhere on this page, drop its file, or press Bring
        in a table above. The verdict, the curve and the surface area appear here at once; keep the table in
        the lot when you like.
      </p>
    </>
  );
}
