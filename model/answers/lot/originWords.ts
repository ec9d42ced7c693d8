import type { Parent } from "#model/lot/lineage.ts";
import { figures, listed } from "#model/words/wording.ts";

/** A lot that powder came from, as it is called and as it stands. */
export interface NamedParent extends Parent {
  readonly name: string;
  /** Whether the whole parent went into this lot to be worked again, not a part of it. */
  readonly isReworked: boolean;
}

/**
 * Where the powder of a lot came from; empty where it came from no other lot.
 *
 * @example originWords([parent])  // "Split from Garnet 29, milled (8.5 kg)."
 */
export function originWords(parents: readonly NamedParent[]): string {
  const [only] = parents;
  if (only === undefined) return "";
  if (parents.length === 1)
    return `${only.isReworked ? "Reworked from" : "Split from"} ${only.name}, ${only.stage}${massWords(only)}.`;
  const parts = parents.map(
    (parent) => `${figures(100 * parent.share)} % ${parent.name}, ${parent.stage}${massWords(parent)}`,
  );
  return `Blended from ${listed(parts)}.`;
}

function massWords({ massG }: Parent): string {
  if (massG === null) return "";
  return massG >= 1000 ? ` (${figures(massG / 1000)} kg)` : ` (${figures(massG)} g)`;
}
