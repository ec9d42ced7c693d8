import {
  type MeasurementMetadata,
  measurementMetadata,
  notStated,
  type PartialMetadata,
  statedFields,
} from "#distributions/measurementMetadata.ts";
import { NumberField } from "./numberField.tsx";
import { TextField } from "./textField.tsx";

/** Words that are often told. Others are as welcome. */
const offered: Partial<Record<keyof MeasurementMetadata, readonly string[]>> = {
  technique: ["laser diffraction", "sieving", "sedimentation", "image analysis", "electrical sensing zone"],
  opticalModel: ["Mie", "Fraunhofer"],
  dispersant: ["water", "ethanol", "isopropanol", "dry, in air"],
};

/** How a measurement was made, a field each; an empty one is not stated. */
export function MetadataFields(props: {
  how: MeasurementMetadata;
  onChange: (entered: PartialMetadata) => void;
}) {
  const { how, onChange } = props;
  return (
    <fieldset>
      <legend>{`An empty field is saved as "${notStated}".`}</legend>
      {statedFields.map((stated) =>
        "least" in stated ? (
          <NumberField
            key={stated.field}
            label={stated.label}
            unit={stated.unit}
            value={how[stated.field] ?? null}
            min={stated.least}
            max={stated.most}
            mayBeEmpty
            onChange={(value) => {
              if (value === null || (value >= stated.least && value <= stated.most))
                onChange({ [stated.field]: value });
            }}
          />
        ) : (
          <TextField
            key={stated.field}
            label={stated.label}
            value={how[stated.field] ?? ""}
            offered={offered[stated.field] ?? []}
            onChange={(text) => onChange({ [stated.field]: text })}
          />
        ),
      )}
    </fieldset>
  );
}

/** What is told so far over what is stated; a text on its way in keeps its blanks. */
export function shown(entered: PartialMetadata, stated: MeasurementMetadata): MeasurementMetadata {
  const texts = Object.fromEntries(Object.entries(entered).filter(([, value]) => typeof value === "string"));
  return { ...measurementMetadata(entered, stated), ...texts };
}
