import { type Stage, stages, type UsualStage } from "#model/lot/stages.ts";
import { listed } from "#model/words/wording.ts";

const processes: Readonly<Partial<Record<UsualStage, string>>> = {
  fired: "firing",
  crushed: "crushing",
  milled: "milling",
  "re-fired": "re-firing",
};

/**
 * Said where runs of one stage are held against a band for another, since where they lie now is no final answer.
 *
 * @returns null where the stages agree, or one of them is not known
 * @example stageGap("milled", "re-fired") // "This is milled powder; the band is for re-fired powder, which may be coarser."
 */
export function stageGap(stage: Stage | null, bandStage: string): string | null {
  const wanted = bandStage.trim();
  if (stage === null || wanted === "" || wanted === stage) return null;
  const what = stage === "reference" ? "a reference powder" : `${stage} powder`;
  const [from, target] = [stage, wanted].map((one) => stages.find((known) => known === one));
  const way = from === undefined || target === undefined ? "" : between(from, target);
  return `This is ${what}; the band is for ${wanted} powder${way}.`;
}

function between(stage: UsualStage, bandStage: UsualStage): string {
  const from = stages.indexOf(stage);
  const to = stages.indexOf(bandStage);
  if (stage === "reference" || bandStage === "reference") return "";
  if (to < from) return `, which comes before ${processes[stage] ?? stage}`;
  if (stage === "milled") return ", which may be coarser";
  return `, and ${listed(stages.slice(from + 1, to + 1).flatMap((step) => processes[step] ?? []))} will still change this one`;
}
