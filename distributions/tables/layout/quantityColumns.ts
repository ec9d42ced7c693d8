import { quantityOf } from "#distributions/tables/text/claims.ts";
import { wordsIn } from "#distributions/tables/text/lexicon.ts";

/** Words for the quantity in columns of their own, the same in every row: "volume" beside each size of a table in long form. */
export function quantityWordsIn(columns: readonly (readonly string[])[]): string[] {
  return columns.flatMap(([text = "", ...below]) => {
    const isQuantity = text !== "" && wordsIn(text).every((word) => quantityOf(word) !== null);
    return isQuantity && below.every((other) => other === text) ? [text] : [];
  });
}
