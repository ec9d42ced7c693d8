import { optionWords, type ReadingOptions, withAnswer } from "#distributions/tables/text/readingOptions.ts";

/** The options that take words, with the word that is given for each; one that is not given is absent. */
export function answeredWords(given: (option: string) => unknown): ReadingOptions {
  let options: ReadingOptions = {};
  for (const option of Object.keys(optionWords)) {
    const word = given(option);
    if (typeof word === "string") options = withAnswer(options, option, word) ?? options;
  }
  return options;
}
