import type { InClass, Quantity } from "../measured.ts";

export const edgeOptions = ["upper", "lower", "both", "geometric-mid", "arithmetic-mid"] as const;
export const valuesOptions = ["class", "undersize", "oversize", "density"] as const;
export const scaleOptions = ["percent", "fraction"] as const;
export const unitOptions = ["um", "nm", "mm", "m", "phi"] as const;
export const layoutOptions = ["columns", "rows", "long"] as const;

export type EdgeOption = (typeof edgeOptions)[number];
export type ValuesOption = (typeof valuesOptions)[number];
export type ScaleOption = (typeof scaleOptions)[number];
export type UnitOption = (typeof unitOptions)[number];
export type LayoutOption = (typeof layoutOptions)[number];

/** What the reader of a table may be told; each beats what the table says of itself. */
export interface ReadingOptions {
  readonly edge?: EdgeOption;
  readonly values?: ValuesOption;
  readonly scale?: ScaleOption;
  readonly quantity?: Quantity;
  readonly unit?: UnitOption;
  readonly layout?: LayoutOption;
  readonly inClass?: InClass;
  /** A lower edge for the finest class, µm. */
  readonly firstEdgeUm?: number;
  /** Only the measurements of these names. */
  readonly only?: readonly string[];
}

export const umPerUnit: Readonly<Record<Exclude<UnitOption, "phi">, number>> = {
  um: 1,
  nm: 1e-3,
  mm: 1e3,
  m: 1e6,
};
