import { isMadeFrom, type Literal, literalsIn, literalText } from "./literals.ts";
import { lotGroups } from "./lotSituations.ts";
import { millGroups } from "./millSituations.ts";
import type { AnswerGroup } from "./situation.ts";

const groups: readonly AnswerGroup[] = [...lotGroups, ...millGroups];

/** Where sentences come from, beside the page's own labels. */
const folders = ["model", "distributions", "api/commands", "api/queries", "api/records", "api/store"];

/** docs/sentences.md: everything that the product says about powders, mills and faults. @param root  of the repository */
export function sentencesPage(root: string): string {
  const shown = groups.map(({ answer, situations }) => ({
    answer,
    situations: situations.map(({ about, said }) => ({ about, sentences: said() })),
  }));
  const all = shown.flatMap(({ situations }) => situations.flatMap(({ sentences }) => sentences));
  const rest = literalsIn(root, folders).filter((literal) => !all.some((s) => isMadeFrom(s, literal)));
  return `${[
    "# What Fineband says",
    "",
    "Every sentence of the answers with the situation that produced it, from the demo's powders and from powders made for the",
    "purpose; then the texts that none of these situations shows: refusals, faults, the help of the command line. `npm run",
    "sentences` writes this page; a test says when it is out of date. Tables and labels of the screen are not in it.",
    "",
    ...shown.flatMap(groupLines),
    "## Other texts",
    "",
    "As they stand in the source; “…” stands for a number, a name or another text.",
    "",
    ...fileLines(rest),
  ].join("\n")}`;
}

function groupLines({
  answer,
  situations,
}: {
  readonly answer: string;
  readonly situations: readonly { readonly about: string; readonly sentences: readonly string[] }[];
}): string[] {
  return [
    `## ${answer}`,
    "",
    ...situations.flatMap(({ about, sentences }) => [
      `**${about.charAt(0).toUpperCase()}${about.slice(1)}**`,
      "",
      ...(sentences.length === 0 ? ["(nothing is said)"] : sentences.map((s) => `- ${s}`)),
      "",
    ]),
  ];
}

function fileLines(literals: readonly Literal[]): string[] {
  const files = [...new Set(literals.map(({ file }) => file))];
  return files.flatMap((file) => [
    `### ${file}`,
    "",
    ...new Set(
      literals.filter((l) => l.file === file).map((l) => `- ${literalText(l).replaceAll("*", "\\*")}`),
    ),
    "",
  ]);
}
