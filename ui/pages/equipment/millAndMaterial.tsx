import { useState } from "preact/hooks";
import { usualPriors } from "#model/mill/trials/priors.ts";
import { lots } from "#ui/data/entries.ts";
import { known, noteKnown, ownKnown } from "#ui/data/knownOfMill.ts";
import { mill } from "#ui/data/mill.ts";
import { NumberField } from "#ui/parts/numberField.tsx";

/** What is known of the mill with the material looked at: the finest it grinds it to, its priors, the lots excluded. */
export function MillAndMaterial({ material }: { material: string }) {
  const noted = known.value;
  const [limit, setLimit] = useState(ownKnown.value?.grindingLimitUm ?? null);
  const ofMill = mill.value?.mill.grindingLimitUm ?? null;
  const excludedLots = noted?.excludedLots ?? [];
  const save = (excluded: readonly number[]) => {
    const body = { priors: noted?.priors ?? usualPriors, excludedLots: [...excluded] };
    return noteKnown(limit === null ? body : { ...body, grindingLimitUm: limit });
  };
  return (
    <>
      <form
        onSubmit={(event) => {
          event.preventDefault();
          if (limit === null || limit > 0) void save(excludedLots);
        }}
      >
        <NumberField
          label={`Grinding limit of ${material}`}
          unit="µm"
          value={limit}
          mayBeEmpty
          fault={limit !== null && !(limit > 0) ? "Must be above 0 µm." : null}
          onChange={setLimit}
        />
        <span class="quiet">
          {ofMill === null
            ? "Empty: no limit is known."
            : `Empty: ${ofMill} µm, as the mill's data says for any material.`}
        </span>
        <button type="submit">Save for this material</button>
      </form>
      <p>
        {priorsSentence()} They are changed beside the <a href="#/wheel-plan">wheel plan</a>.
      </p>
      {excludedLots.length > 0 && (
        <ul>
          {excludedLots.map((id) => {
            const name = lots.value.find((one) => one.id === id)?.name ?? `lot ${id}`;
            return (
              <li key={id}>
                {name} does not teach its growth on re-firing.{" "}
                <button
                  type="button"
                  aria-label={`Include ${name} again`}
                  onClick={() => void save(excludedLots.filter((one) => one !== id))}
                >
                  Include again
                </button>
              </li>
            );
          })}
        </ul>
      )}
      {ownKnown.value !== null && (
        <button type="button" onClick={() => void noteKnown(null)}>
          Forget what is noted for this material
        </button>
      )}
    </>
  );
}

function priorsSentence(): string {
  if (known.value === null) return "The priors are the usual ones.";
  return ownKnown.value === null
    ? "The priors are those noted of the mill for any material."
    : "The priors are those noted for this mill and material.";
}
