import type { FittedCurve } from "./fittedCurve.ts";

/** One number of a curve under the name it has in answers; those of a mixture carry their component's place. */
export interface NamedParameter {
  /** Such as medianUm, or components[0].weight. */
  readonly name: string;
  readonly value: number;
}

/** Every parameter of a curve, in the order in which it is written. */
export function parametersOf({ parameters }: FittedCurve): readonly NamedParameter[] {
  if (!("components" in parameters))
    return Object.entries(parameters).map(([name, value]) => ({ name, value: Number(value) }));
  return parameters.components.flatMap((c, i) =>
    (["weight", "medianUm", "gsd"] as const).map((name) => ({
      name: `components[${i}].${name}`,
      value: c[name],
    })),
  );
}
