import { parseArgs } from "node:util";
import { meant } from "#api/contract/nearest.ts";
import { type Given, isOn } from "#api/contract/options.ts";
import { UnusableInput } from "#api/faults.ts";
import { storeFaultOf } from "#api/store/database/storeFault.ts";
import { DomainError } from "#distributions/domainError.ts";
import { type Choice, type Problem, problem } from "#distributions/problem.ts";
import { candidatesInWords } from "#distributions/tables/candidateReadings.ts";
import { explained } from "#distributions/tables/reading/tableReading.ts";
import { figuresText } from "#distributions/tables/text/figuresText.ts";
import { onWire } from "#model/words/wireWords.ts";
import {
  type Command,
  type CommandOutcome,
  eachFile,
  readFiles,
  readsTables,
  switchesOf,
  valuedOf,
  type World,
} from "./command.ts";
import { harmless } from "./harmless.ts";
import { completion, flagsOf, generalHelp, verbHelp } from "./help.ts";
import { asksRows, printRows } from "./rows.ts";
import { withSaved } from "./saved.ts";
import { verbs } from "./verbs.ts";
import { withWorkbooks } from "./workbooks.ts";

/** 0 done, 1 the answer is no, 2 unusable input or a question open, 3 a fault of ours. */
export type ExitCode = 0 | 1 | 2 | 3;

/**
 * Runs one command line. The rules are those of docs/commands.md.
 * @param before  a fault met before it, such as of a file of settings; null where all went well
 */
export async function run(
  words: readonly string[],
  outside: World,
  before: unknown = null,
): Promise<ExitCode> {
  const shown = showingAll(outside);
  const [verb, ...rest] = words;
  const wantsJson = words.includes("--json");
  try {
    if (verb !== undefined && versionWords.includes(verb)) return say(shown, shown.version);
    if (verb === undefined || helpWords.includes(verb)) {
      const about = rest.find((word) => !word.startsWith("-"));
      const load = about === undefined ? undefined : verbs.get(about);
      if (about === undefined) return say(shown, await generalHelp());
      return say(shown, verbHelp(about, await (load ?? unknownVerb(about))()));
    }
    if (verb === "completion") return say(shown, await completion());
    const command = await (verbs.get(verb) ?? unknownVerb(verb))();
    if (rest.some((word) => word === "--help" || word === "-h")) return say(shown, verbHelp(verb, command));
    if (before !== null) throw before;
    const { files: named, given } = parsed(rest, command);
    const files = readsTables(command) ? eachFile(named, shown) : named;
    const world = await withSaved(given, shown);
    if (command.rows !== undefined && asksRows(given)) {
      const tell = (problems: readonly Problem[]) => complainOf(problems, world);
      return await printRows(command.rows, files, given, { ...withOneInput(world), tell });
    }
    const opened = withOneInput(await withWorkbooks(files, world));
    const outcome = await command.run(files, given, opened);
    const isExplained = isOn(given, "explain") && files.length > 0;
    return finish(isExplained ? withTables(outcome, files, given, opened) : outcome, wantsJson, world);
  } catch (fault) {
    return failed(fault, wantsJson, shown);
  }
}

/** @throws UnusableInput  always */
function unknownVerb(verb: string): never {
  const known = [...verbs.keys(), "help", "version", "completion"];
  const all = known.join(", ");
  throw new UnusableInput(
    `There is no command ${verb}.${meant(verb, known)} The commands are ${all}.`,
    verb,
    all,
  );
}

/** What comes out of files reaches no terminal as a command. */
function showingAll(world: World): World {
  return {
    ...world,
    print: (text) => world.print(harmless(text)),
    complain: (text) => world.complain(harmless(text)),
  };
}

/** Standard input is read once, however often a verb asks for it. */
function withOneInput(world: World): World {
  let input: Uint8Array | null = null;
  return {
    ...world,
    readStandardInput() {
      input ??= world.readStandardInput();
      return input;
    },
  };
}

/** The answer with how each table was read before it, and how else it can be: as lines, and as `tables` and `candidates` for scripts. */
function withTables(
  outcome: CommandOutcome,
  files: readonly string[],
  given: Given,
  world: World,
): CommandOutcome {
  const { tables = [], candidates = [] } = readFiles(files, given, world);
  const lines = tables.flatMap((table) => [
    ...(table.file === null ? [] : [table.file]),
    ...explained(table),
  ]);
  const others = files.flatMap((path) => {
    const own = candidates.filter(({ file }) => (file ?? "-") === path);
    return candidatesInWords(own, ({ option, value }) => `--${option} ${value}`);
  });
  return {
    ...outcome,
    body: { ...outcome.body, ...{ tables, candidates } },
    sentences: [...lines, ...others, ...outcome.sentences],
  };
}

function say(world: World, text: string): ExitCode {
  world.print(`${text}\n`);
  return 0;
}

function finish(outcome: CommandOutcome, wantsJson: boolean, world: World): ExitCode {
  const { problems } = outcome.body;
  complainOf(problems, world);
  world.print(
    wantsJson ? `${onWire(JSON.stringify(outcome.body))}\n` : outcome.sentences.map((s) => `${s}\n`).join(""),
  );
  if (problems.some((p) => p.severity !== "note")) return 2;
  return outcome.isNo ? 1 : 0;
}

function failed(fault: unknown, wantsJson: boolean, world: World): ExitCode {
  const isTheirs = fault instanceof UnusableInput || fault instanceof DomainError;
  const message = fault instanceof Error ? fault.message : String(fault);
  const problems = [
    isTheirs
      ? problem("refused", message, {
          found: fault instanceof UnusableInput ? fault.found : String(fault.value),
          expected: fault instanceof UnusableInput ? fault.expected : fault.rule,
        })
      : problem(
          "refused",
          storeFaultOf(fault)?.message ??
            `Fineband has an internal fault: ${message}. Your files are unchanged.`,
        ),
  ];
  complainOf(problems, world);
  if (wantsJson) world.print(`${JSON.stringify({ problems })}\n`);
  return isTheirs ? 2 : 3;
}

/** What choices are about: mostly one thing. */
function optionsIn(choices: readonly Choice[]): string[] {
  return [...new Set(choices.map(({ option }) => option))];
}

/** Which option answers a question, or what a refused table would be read as, with the D50 that gives. */
function answerOf({ severity, choices = [] }: Problem): string {
  const [first] = choices;
  if (first === undefined) return "";
  if (severity === "question")
    return ` Answer with ${optionsIn(choices)
      .map(
        (option) => `--${option} ${choices.flatMap((c) => (c.option === option ? [c.value] : [])).join("|")}`,
      )
      .join(", or ")}.`;
  const each = choices.map(
    ({ option, value, d50Um }) =>
      `--${option} ${value}${d50Um === null ? " (with more to answer)" : ` (D50 ${figuresText(d50Um)} µm)`}`,
  );
  return ` It would be read with ${each.join(" or ")}.`;
}

function complainOf(problems: readonly Problem[], world: World): void {
  for (const p of problems) {
    const place = [
      p.file,
      p.sheet === undefined ? null : `sheet ${p.sheet}`,
      p.measurement,
      p.row === null ? null : `row ${p.row}`,
      p.column === null ? null : `column ${p.column}`,
    ];
    const where = place.filter((part) => part !== null).join(", ");
    const answer = answerOf(p);
    world.complain(
      `${p.severity}: ${where === "" ? "" : `${where}: `}${p.message}${p.effect === null ? "" : ` (${p.effect})`}${answer}\n`,
    );
  }
}

/** Options by name. An unknown one, a repeated one, and one without its value are unusable input. */
function parsed(words: readonly string[], command: Command): { files: string[]; given: Given } {
  const options = Object.fromEntries(
    valuedOf(command).map((name) => [name, { type: "string" as const, multiple: true }]),
  );
  const switches = Object.fromEntries(
    ["json", ...switchesOf(command)].map((name) => [name, { type: "boolean" as const, multiple: true }]),
  );
  try {
    const { values, positionals } = parseArgs({
      args: [...words],
      allowPositionals: true,
      options: { ...options, ...switches },
    });
    const given: Record<string, string | string[]> = {};
    for (const [name, value] of Object.entries(values)) {
      if (!Array.isArray(value)) continue;
      if (value.length > 1 && name !== "only")
        throw new UnusableInput(
          `--${name} is given ${value.length} times; give it once.`,
          `--${name} repeated`,
          "once",
        );
      const texts = value.flatMap((v) => (typeof v === "string" ? [v] : name === "json" ? [] : ["yes"]));
      if (texts.length > 0) given[name] = texts;
    }
    return { files: positionals, given };
  } catch (fault) {
    if (fault instanceof UnusableInput) throw fault;
    const message = fault instanceof Error ? (fault.message.split("\n")[0] ?? "") : "";
    const known = [...valuedOf(command), ...switchesOf(command), "json"];
    const [, unknown] = /Unknown option '--([^']+)'/.exec(message) ?? [];
    const hint = unknown === undefined ? "" : meant(unknown, known, "--");
    throw new UnusableInput(
      `${message.replace(/\. To specify.*$/, ".")}${hint} The options are ${flagsOf(command)}.`,
      words.join(" "),
      command.usage,
    );
  }
}

const versionWords: readonly string[] = ["--version", "version"];
const helpWords = ["--help", "-h", "help"];
