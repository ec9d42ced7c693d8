import science from "../../docs/science.md?raw";
import { version } from "../../package.json";
import { formulasOf } from "./tableRows.ts";

/** How named numbers are found: formula, where it holds, where it comes from. The text is that of docs/science.md. */
export function Formulas({ of, inputs }: { of: readonly string[]; inputs: readonly string[] }) {
  const rows = formulasOf(science).filter((row) => [row.what, ...row.also].some((name) => of.includes(name)));
  return (
    <div class="formulas" role="status">
      <dl>
        {rows.map(({ what, said }) => (
          <>
            <dt key={what}>{what}</dt>
            {said.map(({ heading, text }) => (
              <dd key={heading}>
                <span class="quiet">{heading}:</span> {text}
              </dd>
            ))}
          </>
        ))}
      </dl>
      <p class="quiet">
        {inputs.join(" ")} Fineband {version}; sizes x in µm, density ρ in g/cm³, M moments of the shares.
      </p>
    </div>
  );
}
