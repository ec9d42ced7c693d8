import type { SavedLot } from "#api/records/records.ts";
import type { Stage } from "#model/lot/stages.ts";
import { useCard } from "#ui/data/useCard.ts";

/** What is done to a powder to bring it to a stage. */
const deeds: Readonly<Partial<Record<Stage, string>>> = {
  precursor: "",
  fired: "fire",
  crushed: "crush",
  milled: "mill",
  "re-fired": "re-fire",
  reference: "",
};

const maxShown = 2;

/** What was done to reach a stage, with the first of its settings. */
export function StageWay({ lot, stage }: { lot: SavedLot; stage: Stage }) {
  const { card } = useCard(lot);
  const settings = card?.stages.find((s) => s.stage === stage)?.settings ?? [];
  const words = [
    deeds[stage] ?? "",
    settings
      .slice(0, maxShown)
      .map(({ value, unit }) => `${value} ${unit}`.trim().replaceAll(" ", "\u00a0"))
      .join(" · "),
  ];
  return <>{words.filter((word) => word !== "").join(" ")}</>;
}
