/** How a column of a history is called in a sentence. */
export interface ColumnWords {
  readonly name: string;
  /** Undefined where it is not known, "" for a pure number. */
  readonly unit: string | undefined;
}

/** Names that our own tables use; every other column keeps the name that its owner gave it. */
const ownNames: Readonly<Record<string, Required<ColumnWords>>> = {
  firingC: { name: "firing temperature", unit: "°C" },
  excessPercent: { name: "excess", unit: "%" },
  betRatio: { name: "BET ratio", unit: "" },
  surfaceM2PerG: { name: "geometric area", unit: "m²/g" },
};

/** @example columnWords("d50Um") // { name: "D50", unit: "µm" } */
export function columnWords(name: string, unit?: string): ColumnWords {
  const percent = /^d(\d{1,2})Um$/.exec(name)?.[1];
  const own = percent === undefined ? ownNames[name] : { name: `D${percent}`, unit: "µm" };
  return own === undefined ? { name, unit } : { name: own.name, unit: unit ?? own.unit };
}
