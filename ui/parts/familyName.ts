import type { FamilyName } from "#distributions/families/family.ts";
import { familyWords } from "#model/answers/lot/fitAnswer.ts";
import { capital } from "#model/words/wording.ts";

/** What a family is called among the formulas of docs/science.md. */
export function formulaRow(family: FamilyName): string {
  return familyWords[family].replace(/^(the|a) /, "").replace(/ curve$/, "");
}

/** A family as it heads a row or labels a line. */
export function familyName(family: FamilyName): string {
  return capital(formulaRow(family));
}
