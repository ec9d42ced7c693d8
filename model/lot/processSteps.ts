import { DomainError } from "#distributions/domainError.ts";
import { type Stage, stages, stagesNamed } from "./stages.ts";

/** What is done to a powder in a step, whatever a lab calls the step. Mathematics asks for this and for the order, never for the name. */
export const stepKinds = [
  "received",
  "fired",
  "crushed",
  "milled",
  "heat-treated",
  "sieved",
  "washed",
  "blended",
  "reference",
  "other",
] as const;

export type StepKind = (typeof stepKinds)[number];

/** A step of a material's process: the stage a lot is in once the step is done. */
export interface ProcessStep {
  /** Stays the same when the step is renamed. */
  readonly id: string;
  readonly name: string;
  readonly kind: StepKind;
}

/** The steps a material has until its lab names others; their names are understood everywhere. */
export const usualSteps: readonly ProcessStep[] = [
  { id: "precursor", name: "precursor", kind: "received" },
  { id: "fired", name: "fired", kind: "fired" },
  { id: "crushed", name: "crushed", kind: "crushed" },
  { id: "milled", name: "milled", kind: "milled" },
  { id: "re-fired", name: "re-fired", kind: "heat-treated" },
];

/** What is bought to be compared with stands beside the steps of every material, not among them. */
export const referenceStep: ProcessStep = { id: "reference", name: "reference", kind: "reference" };

/**
 * The steps of a material as they may be kept: at least one, each with a name and an id of its own.
 *
 * @throws DomainError  no step, an empty name, two of one name or id
 */
export function processSteps(steps: readonly ProcessStep[]): readonly ProcessStep[] {
  if (steps.length === 0) throw new DomainError("process steps", "must hold at least one step", 0);
  for (const [i, step] of steps.entries()) {
    if (step.name.trim() === "") throw new DomainError("process step", "must have a name", `step ${i + 1}`);
    const before = steps.slice(0, i);
    if (before.some((other) => folded(other.name) === folded(step.name)))
      throw new DomainError("process step", "must have a name of its own", step.name);
    if (before.some((other) => other.id === step.id))
      throw new DomainError("process step", "must have an id of its own", step.id);
  }
  return steps;
}

/** The step a stage is named after, by name or id, case and blanks aside; null where the process has none such. */
export function stepNamed(steps: readonly ProcessStep[], stage: string): ProcessStep | null {
  const wanted = folded(stage);
  const known = [...steps, referenceStep];
  return known.find((step) => folded(step.name) === wanted || folded(step.id) === wanted) ?? null;
}

/**
 * The stage that a word means: one of the usual, which every material understands, or a step of this process by its name.
 *
 * @throws DomainError  it means none
 */
export function stageMeant(steps: readonly ProcessStep[], word: string): Stage {
  const found = stepNamed(steps, word)?.id ?? stages.find((stage) => stage === folded(word));
  if (found !== undefined) return found;
  throw new DomainError("stage", `must be one of ${stageWords(steps).join(", ")}`, word);
}

/** The words for stages that lots of a process can have: what its steps are called, then the usual. */
export const stageWords = (steps: readonly ProcessStep[]): readonly string[] => [
  ...new Set([...steps.map(({ name }) => name), ...stages]),
];

/** What a stage is called: its step's name; the word itself where the process has no such step. */
export const stageName = (steps: readonly ProcessStep[], stage: Stage): string =>
  steps.find(({ id }) => id === stage)?.name ?? stage;

/** The stages that names speak of, such as those of files: by what the steps of a process are called, and by the usual words. */
export function stagesSpokenOf(steps: readonly ProcessStep[], names: readonly string[]): Stage[] {
  const own = steps
    .filter(({ name }) => name.trim() !== "" && !stages.some((usual) => usual === folded(name)))
    .toSorted((a, b) => b.name.length - a.name.length);
  const found: Stage[] = [];
  // What the lab's own name took is no usual word any more: "twice milled" does not speak of "milled".
  const left = names.map((name) => {
    let text = name;
    for (const step of own) {
      const word = step.name.trim().replace(/[.*+?^${}()[\]\\/|]/g, "\\$&");
      const pattern = new RegExp(`(?<!\\p{L})${word.replace(/[\s_–-]+/g, "[\\s_–-]*")}(?!\\p{L})`, "iu");
      if (pattern.test(text)) found.push(step.id);
      text = text.replace(pattern, " ");
    }
    return text;
  });
  return [...new Set([...found, ...stagesNamed(left)])];
}

/** Stages in the order of a process, each once; those that are no step of it come after, what was bought to compare with last. */
export function inProcessOrder(steps: readonly ProcessStep[], found: readonly Stage[]): Stage[] {
  const line = [...steps.map(({ id }) => id), ...stages.filter((stage) => stage !== referenceStep.id)];
  const place = (stage: Stage) => {
    if (stage === referenceStep.id) return line.length + 1;
    return line.includes(stage) ? line.indexOf(stage) : line.length;
  };
  return [...new Set(found)].toSorted((a, b) => place(a) - place(b) || (a < b ? -1 : 1));
}

/** Whether a stage is the milled powder that a heat treatment of the same process makes another stage of. */
export function isBeforeRefiring(steps: readonly ProcessStep[], from: Stage, to: Stage): boolean {
  const line = [...steps, ...usualSteps];
  const target = line.find(({ id }) => id === to);
  return target?.kind === "heat-treated" && lastBefore(line, target, "milled")?.id === from;
}

/**
 * The heat treatment of milled powder in a process, from which stage and to which: the one that leads to the stage asked
 * for, else the last there is; null where the process has none.
 */
export function refiringOf(
  steps: readonly ProcessStep[],
  to: Stage | null,
): { readonly from: Stage; readonly to: Stage } | null {
  const after = steps.flatMap((step) => {
    const milled = step.kind === "heat-treated" ? lastBefore(steps, step, "milled") : null;
    return milled === null ? [] : [{ from: milled.id, to: step.id }];
  });
  return after.find((one) => one.to === to) ?? after.at(-1) ?? null;
}

/** The last step of a kind before another step, such as the milling that a heat treatment follows; null where there is none. */
export function lastBefore(
  steps: readonly ProcessStep[],
  step: ProcessStep,
  kind: StepKind,
): ProcessStep | null {
  const place = steps.findIndex((each) => each.id === step.id);
  return steps.slice(0, Math.max(place, 0)).findLast((each) => each.kind === kind) ?? null;
}

/** Names as they are compared: case, blanks, hyphens and underscores aside. */
export function folded(name: string): string {
  return name
    .trim()
    .toLowerCase()
    .replace(/[\s_–-]+/g, "-");
}
