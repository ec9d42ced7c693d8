import { useState } from "preact/hooks";
import { saveMill } from "#ui/data/saving.ts";
import { TextField } from "#ui/parts/textField.tsx";

/** A first mill. Its numbers are only a start to be edited; without a rated speed none is suggested. */
export function NewMill() {
  const [name, setName] = useState("");
  return (
    <form
      onSubmit={(event) => {
        event.preventDefault();
        void saveMill(name.trim(), {
          wheelRadiusM: 0.05,
          wheelHeightM: 0.05,
          freeAreaShare: 0.7,
          swirlRatio: 1,
          ratedSpeedRpm: null,
          gas: "air",
          temperatureC: 20,
          pressurePa: 100_000,
          gasFlowM3PerH: 200,
          particleDensityGPerCm3: 4.5,
        });
      }}
    >
      <TextField label="Name of the mill" value={name} onChange={setName} />
      <button type="submit" disabled={name.trim() === ""}>
        Save the mill, then enter its data
      </button>
    </form>
  );
}
