import { spawnSync } from "node:child_process";
import { fileURLToPath } from "node:url";
import { z } from "zod";
import { markdownTable } from "../markdown.ts";
import { small } from "../outcome.ts";
import { ofChances } from "./ofChances.ts";
import { ofCurves } from "./ofCurves.ts";
import { ofFunctions } from "./ofFunctions.ts";
import { ofLots } from "./ofLots.ts";
import { ofMills } from "./ofMills.ts";
import type { Question } from "./question.ts";

const script = fileURLToPath(new URL("references.py", import.meta.url));

const questions: readonly Question[] = [...ofCurves, ...ofFunctions, ...ofMills, ...ofChances, ...ofLots];

const answered = z.object({
  versions: z.record(z.string(), z.string()),
  answers: z.array(z.array(z.number())),
});

/** A question, how many numbers were compared, and the worst relative difference: no number where one is missing. */
interface ComparedReference {
  readonly question: Question;
  readonly count: number;
  readonly worst: number;
}

export interface ReferencesPage {
  readonly text: string;
  /** Why no second opinion could be had; null when it was. */
  readonly absent: string | null;
  readonly unexpected: readonly string[];
}

/** Asks NumPy and SciPy every question, and sets their answers beside ours. */
export function referencesPage(): ReferencesPage {
  const isThere = spawnSync("python3", ["-c", "import scipy"]).status === 0;
  if (!isThere) return { text: "", absent: "python3 with SciPy is not on this machine.", unexpected: [] };
  const run = spawnSync("python3", [script], {
    input: JSON.stringify(questions.map(({ asked }) => asked)),
    encoding: "utf8",
    maxBuffer: 1e8,
  });
  if (run.status !== 0) throw new Error(`references.py failed: ${run.stderr}`);
  const { versions, answers } = answered.parse(JSON.parse(run.stdout));
  const compared = questions.map((question, i) => comparedWith(question, answers[i] ?? []));
  const off = compared.filter(({ question, worst }) => !(worst <= question.tolerance));
  return {
    text: textOf(versions, compared),
    absent: null,
    unexpected: off.map(
      ({ question, worst }) => `${question.what}: off ${worst}, ${question.tolerance} allowed`,
    ),
  };
}

function comparedWith(question: Question, theirs: readonly number[]): ComparedReference {
  const isWhole = theirs.length > 0 && theirs.length === question.ours.length;
  const differences = theirs.map((value, i) => relativeDifference(question.ours[i] ?? Number.NaN, value));
  return { question, count: theirs.length, worst: isWhole ? Math.max(...differences) : Number.NaN };
}

function relativeDifference(ours: number, theirs: number): number {
  return ours === theirs ? 0 : Math.abs(ours - theirs) / Math.abs(theirs);
}

function textOf(versions: Readonly<Record<string, string>>, compared: readonly ComparedReference[]): string {
  const libraries = Object.entries(versions).map(([name, version]) => `${name} ${version}`);
  const rows = compared.map(({ question, count, worst }) => [
    question.what,
    String(count),
    question.call,
    `${worst <= question.tolerance ? "" : "**differs**: "}${small(worst)}`,
    small(question.tolerance),
  ]);
  return `# Second opinions of general-purpose libraries

Written by \`npm run validate -- --with-references\`. The inputs are invented and the same each time; \`tests/validate/references/\` holds them and the script that asks. The differences are relative to the library's answer.

Asked: ${libraries.join(", ")}.

${markdownTable(["what", "numbers", "asked of", "worst difference", "allowed"], rows)}
`;
}
