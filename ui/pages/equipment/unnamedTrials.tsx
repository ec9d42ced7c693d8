import { counted } from "#model/words/wording.ts";
import { unnamedTrials } from "#ui/data/mill.ts";
import { changeTrial } from "#ui/data/saving.ts";
import { lot } from "#ui/data/selection.ts";

/** Trials that name no material, beside several: they wait here until a person says what was milled. */
export function UnnamedTrials() {
  const { value: waiting } = unnamedTrials;
  const of = lot.value;
  const materialId = of?.materialId ?? null;
  if (waiting.length === 0 || of === null || materialId === null) return null;
  return (
    <section aria-label="Trials without a material">
      <p>
        Without a material, and since the lab has several counted for none: {counted(waiting.length, "trial")}{" "}
        of this mill.
      </p>
      <ul>
        {waiting.map((trial) => (
          <li key={trial.id}>
            {trial.name}{" "}
            <button type="button" class="small" onClick={() => void changeTrial(trial, { materialId })}>
              It milled {of.material}
            </button>
          </li>
        ))}
      </ul>
    </section>
  );
}
