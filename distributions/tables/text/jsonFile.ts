import { type Problem, problem } from "#distributions/problem.ts";

/** What a JSON file of ours holds, still unchecked; or why it is none, and what to do. */
export type JsonFile = { readonly value: unknown } | { readonly problem: Problem };

/** @param what  the file as a sentence names it, such as "The band's file" */
export function readJsonFile(text: string, file: string | null, what: string): JsonFile {
  try {
    return { value: JSON.parse(text) };
  } catch (fault) {
    const why = fault instanceof Error ? fault.message : "";
    return {
      problem: problem(
        "refused",
        `${what} is no JSON: ${why}. Compare it with the example in docs/commands.md.`,
        { file, expected: "a JSON object" },
      ),
    };
  }
}
