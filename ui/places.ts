import type { ComponentType } from "preact";
import type { Page } from "#ui/data/address.ts";
import { Lot } from "#ui/pages/lot/lot.tsx";
import { later } from "#ui/parts/later.tsx";

export interface Place {
  readonly page: Page;
  readonly name: string;
  readonly view: ComponentType;
}

/** The page that opens first: its code does not wait. */
export const firstPlace: Place = { page: "lot", name: "Lot", view: Lot };

const Lots = later("the lots", async () => (await import("#ui/pages/lots/lots.tsx")).Lots);
const Compare = later("the comparison", async () => (await import("#ui/pages/compare/compare.tsx")).Compare);
const WheelPlan = later(
  "the wheel plan",
  async () => (await import("#ui/pages/wheelPlan/wheelPlan.tsx")).WheelPlan,
);
const Process = later("the process", async () => (await import("#ui/pages/process/process.tsx")).Process);
const Equipment = later(
  "the equipment",
  async () => (await import("#ui/pages/equipment/equipment.tsx")).Equipment,
);
const Bands = later("the bands", async () => (await import("#ui/pages/bands/bands.tsx")).Bands);
const ChangeHistory = later(
  "the change history",
  async () => (await import("#ui/pages/changeHistory/changeHistory.tsx")).ChangeHistory,
);

/** The pages, in the order of the menu. */
export const places: readonly Place[] = [
  { page: "lots", name: "Lots", view: Lots },
  firstPlace,
  { page: "compare", name: "Compare", view: Compare },
  { page: "wheel-plan", name: "Wheel plan", view: WheelPlan },
  { page: "process", name: "Process", view: Process },
  { page: "equipment", name: "Equipment", view: Equipment },
  { page: "bands", name: "Bands", view: Bands },
  { page: "change-history", name: "Change history", view: ChangeHistory },
];
