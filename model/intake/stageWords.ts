import type { ProcessStep } from "#model/lot/processSteps.ts";
import { type Stage, stages, type UsualStage } from "#model/lot/stages.ts";

/**
 * What laboratories write for a stage in the names of files, in several languages. Common practice, no source. "#" stands
 * for any sign between two words, or none.
 */
const written: Readonly<Record<UsualStage, readonly string[]>> = {
  precursor: [
    "precursor|precursors|raw|raw#powder|raw#material|as#received|received|green#powder",
    "vorläufer|vorstufe|precurseur|précurseur|rohpulver|rohstoff|ausgangspulver|matiere#premiere|brut",
    "materia#prima|polvo#crudo|grondstof|prekursor|surowiec|surovina|前駆体|前驱体|原料|原粉",
  ],
  fired: [
    "fired|firing|1st#fired|1st#firing|first#firing|as#fired|calcined|calcination|sintered|burnt",
    "gebrannt|brand|1.#brand|erster#brand|erstbrand|geglüht|kalziniert|calciniert|glühung|cuit|cuite|calciné|calcinée|cuisson|calcination|1re#cuisson",
    "cocido|calcinado|cocción|calcinación|cotto|calcinato|cottura|calcinada|queimado|gebrand|gecalcineerd|wypalony|kalcynowany|pálený|vypálený|焼成|仮焼|煅烧|烧成",
  ],
  crushed: [
    "crushed|crushing|jaw#crushed|pre#crushed|broken",
    "gebrochen|vorgebrochen|gebrochenes|zerkleinert|brecher|concassé|concassée|concassage|triturado|triturada|machacado|frantumato|frantumazione|britado",
    "gebroken|kruszony|rozkruszony|drcený|粗砕|解砕|破碎|粗碎",
  ],
  milled: [
    "milled|milling|jet#milled|jet#milling|ground|mill#product|pulverized|pulverised|micronized|micronised",
    "gemahlen|mahlung|strahlgemahlen|vermahlen|feingemahlen|mahlgut|broyé|broyée|broyage|moulu|moulue|molido|molida|molienda|micronizado|macinato|macinata|macinazione|moído|moída|moagem",
    "gemalen|zmielony|mielony|mletý|pomletý|粉砕|粉碎|研磨|气流粉碎",
  ],
  "re-fired": [
    "re#fired|re#firing|refire|2nd#fired|2nd#firing|second#firing|fired#twice|annealed|annealing|re#calcined",
    "nachgebrannt|nachbrand|wieder#gebrannt|2.#brand|zweiter#brand|zweitbrand|zweitgebrannt|getempert|nachgeglüht|recuit|recuite|re#cuit|recalciné|recalcinée|2e#cuisson|2eme#cuisson|seconde#cuisson|deuxième#cuisson",
    "recocido|recocida|recalcinado|segunda#cocción|2a#cocción|ricotto|ricottura|2a#cottura|seconda#cottura|ricalcinato|recozido|requeimado|hergloeid|herbrand|nagebrand|wyżarzony|ponownie#wypalony|žíhaný|再焼成|再仮焼|再煅烧|二次焼成|二次煅烧",
  ],
  reference: [
    "reference|bought#powder|referenz|référence|referencia|referência|riferimento|referentie|参考|参照|対照",
  ],
};

/** A word with the stage it means. */
export interface StageWord {
  readonly word: string;
  readonly stage: Stage;
}

/** The words for stages as a pattern each, the longest first, so that "2nd firing" is not taken for "firing". */
export type StageWords = readonly { readonly pattern: RegExp; readonly stage: Stage }[];

/** Text without accents, so that names typed with and without them are one. */
export function unaccented(text: string): string {
  return text.normalize("NFKD").replace(/\p{M}/gu, "").replaceAll("ß", "ss");
}

/** The words of all languages, with those by which a lab's materials call their own steps. */
export function stageWords(steps: readonly ProcessStep[] = []): StageWords {
  const usual = stages.flatMap((stage) =>
    written[stage].flatMap((line) => line.split("|")).map((word): StageWord => ({ word, stage })),
  );
  const own = steps.flatMap(({ id, name }): StageWord[] =>
    name.trim() === "" ? [] : [{ word: name.trim().replace(/[\s_-]+/g, "#"), stage: id }],
  );
  const byWord = new Map(
    [...usual, ...own].map(({ word, stage }) => [unaccented(word).toLowerCase(), stage]),
  );
  return [...byWord]
    .toSorted(([a], [b]) => b.length - a.length)
    .map(([word, stage]) => ({ pattern: patternOf(word), stage }));
}

/** A word bounded by no letters, so that "ground" is not found in "background"; scripts without blanks have no bounds. */
function patternOf(word: string): RegExp {
  const text = word.replace(/[.*+?^${}()[\]\\/-]/g, "\\$&").replaceAll("#", "[\\s_.,-]*");
  return /^[\u3000-\u9fff]/u.test(word)
    ? new RegExp(text, "iu")
    : new RegExp(`(?<!\\p{L})${text}(?!\\p{L})`, "iu");
}
