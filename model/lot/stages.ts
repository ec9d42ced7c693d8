/** The stages a lot usually goes through, in order, and the bought powder it is held against; understood of every material. */
export const stages = ["precursor", "fired", "crushed", "milled", "re-fired", "reference"] as const;

export type UsualStage = (typeof stages)[number];

/** A stage of a lot: one of the usual, or the id of a step that the lab gave the process of its material. */
export type Stage = string;

/** What is done to powder to bring it to a stage, as a noun. */
const stepNames = new Map<string, string>([
  ["fired", "firing"],
  ["crushed", "crushing"],
  ["milled", "milling"],
  ["re-fired", "re-firing"],
]);

/** The step that leads to a stage: "re-firing"; null where none is known. */
export const stepTo = (stage: string): string | null => stepNames.get(stage) ?? null;

/** A setting by the step it belongs to: "re-firing temperature". A stage without a step of its own gives its own name. */
export function settingOfStep(name: string, stage: string | null): string {
  return `${stage === null ? "" : (stepTo(stage) ?? stage)} ${name.trim()}`.trim();
}

const ofWord = stages.map((stage) => ({ stage, word: new RegExp(`(?<![a-z])(?<!re-)${stage}(?![a-z])`) }));

/** The stages that names speak of, such as "milled, run 2" or "Re_fired.csv"; empty where none does. */
export function stagesNamed(names: readonly string[]): UsualStage[] {
  const plain = names.map((name) =>
    name
      .toLowerCase()
      .replace(/(?<![a-z])re[ _–]?fired/g, "re-fired")
      // What is bought to be measured against is no powder of the line.
      .replace(/reference[ _-]drum/g, ""),
  );
  return ofWord.filter(({ word }) => plain.some((name) => word.test(name))).map(({ stage }) => stage);
}
