import { optionHelp } from "#api/contract/optionHelp.ts";
import { readingFlags, readingSwitches } from "#api/contract/options.ts";
import { type Command, readsTables, switchesOf, valuedOf } from "./command.ts";
import { verbs } from "./verbs.ts";

/** Every option of a verb, without its dashes. */
export function optionNames(command: Command): readonly string[] {
  return [...valuedOf(command), ...switchesOf(command), "json"];
}

export function flagsOf(command: Command): string {
  return optionNames(command)
    .map((name) => `--${name}`)
    .join(" ");
}

/** What `fineband VERB --help` prints: each option as it may be given, with its meaning. */
export function verbHelp(verb: string, command: Command): string {
  const reading: readonly string[] = readsTables(command) ? [...readingFlags, ...readingSwitches] : [];
  const lines = (names: readonly string[]) => names.map((name) => optionLine(verb, name));
  const own = optionNames(command).filter((name) => !reading.includes(name));
  return [
    `fineband ${verb} ${command.usage}`.trim(),
    command.summary,
    "",
    ...lines(own),
    ...(reading.length === 0
      ? []
      : [
          "",
          "How a table is read. FILE may be a folder or a pattern such as runs/*.csv.",
          ...lines(reading),
        ]),
  ].join("\n");
}

function optionLine(verb: string, name: string): string {
  const { example, meaning } = optionHelp(verb, name) ?? { example: null, meaning: "" };
  const value = example === null ? "" : ` ${/[\s*{]/.test(example) ? `"${example}"` : example}`;
  return `  --${name}${value}\n      ${meaning}`;
}

/** What bash needs to complete verbs and options: source <(fineband completion). */
export async function completion(): Promise<string> {
  const cases = await Promise.all(
    [...verbs].map(async ([name, load]) => `    ${name}) words="${flagsOf(await load())}" ;;`),
  );
  return [
    "_fineband() {",
    `  local word="\${COMP_WORDS[COMP_CWORD]}" words=""`,
    `  if [ "$COMP_CWORD" -eq 1 ]; then words="${[...verbs.keys()].join(" ")} help version completion"; else`,
    `  case "\${COMP_WORDS[1]}" in`,
    ...cases,
    `    help) words="${[...verbs.keys()].join(" ")}" ;;`,
    "  esac; fi",
    `  if [ "$COMP_CWORD" -eq 1 ] || [[ "$word" == -* || "\${COMP_WORDS[1]}" == help ]]; then COMPREPLY=($(compgen -W "$words" -- "$word")); fi`,
    "}",
    "complete -o default -F _fineband fineband",
  ].join("\n");
}

export async function generalHelp(): Promise<string> {
  const lines = await Promise.all(
    [...verbs].map(async ([name, load]) => {
      const { usage, summary } = await load();
      return `  ${name} ${usage}\n      ${summary}`;
    }),
  );
  return [
    "fineband VERB … [--json]",
    "",
    ...lines,
    "",
    "fineband VERB --help says what each option means, with an example. Every command that takes FILE also takes the reading options, folders, and patterns such as runs/*.csv. Exit codes: 0 done, 1 the answer is no, 2 unusable input or a question to answer, 3 an internal fault.",
  ].join("\n");
}
