import { useState } from "preact/hooks";
import { figures } from "../parts/format.ts";
import { NumberField } from "../parts/numberField.tsx";
import { stopLooking } from "../state/bringIn.ts";
import { bands, keepLot, lots } from "../state/kept.ts";
import { goTo, linkTo } from "../state/place.ts";

/** Every lot that is kept, and a new one. */
export function Lots() {
  const [name, setName] = useState("");
  const [density, setDensity] = useState<number | null>(null);
  return (
    <>
      <h1>{lots.value.length === 0 ? "No lot is kept yet." : `${lots.value.length} lots are kept.`}</h1>
      <div class="scroll">
        <table>
          <thead>
            <tr>
              <th scope="col">Lot</th>
              <th scope="col">Material</th>
              <th scope="col">Density, g/cm³</th>
              <th scope="col">Stages and runs</th>
            </tr>
          </thead>
          <tbody>
            {lots.value.map((l) => (
              <tr key={l.id}>
                <th scope="row">
                  <a href={linkTo({ page: "band", lotId: l.id, stage: null })} onClick={stopLooking}>
                    {l.name}
                  </a>
                </th>
                <td>{l.material}</td>
                <td class="number">{figures(l.densityGPerCm3)}</td>
                <td>{l.stages.map((s) => `${s.stage} ${s.runs}`).join(" · ") || "nothing yet"}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </div>
      <h2>A new lot</h2>
      <form
        onSubmit={async (event) => {
          event.preventDefault();
          if (density === null) return;
          const id = await keepLot({
            name,
            material: "",
            densityGPerCm3: density,
            bandId: bands.value[0]?.id ?? null,
            note: "",
          });
          if (id !== null) goTo({ page: "band", lotId: id, stage: null });
        }}
      >
        <span class="field">
          <label for="lot-name">Name</label>
          <input id="lot-name" value={name} onInput={(event) => setName(event.currentTarget.value)} />
        </span>
        <NumberField
          label="Density of the solid"
          unit="g/cm³"
          value={density}
          mayBeEmpty
          onChange={setDensity}
        />
        <button type="submit" disabled={name.trim() === "" || density === null}>
          Keep the lot
        </button>
      </form>
    </>
  );
}
