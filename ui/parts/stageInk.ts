import { stagesNamed } from "#model/lot/stages.ts";

/** The colour of a stage, as styles take it; one of the lab's own naming is grey. */
export const stageInk = (stage: string) => `var(--${stagesNamed([stage])[0] ?? "muted"})`;
