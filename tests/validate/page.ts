import { checkDataPath } from "../dataFolder.ts";
import { groups, sets, slowSets } from "./all.ts";
import type { Check, CheckGroup, CheckKind, Measure, Source, Tolerance, WholeSet } from "./check.ts";
import { markdownTable } from "./markdown.ts";
import {
  besidePrinted,
  type CheckOutcome,
  outcomeOf,
  type SetOutcome,
  setOutcomeOf,
  small,
} from "./outcome.ts";
import { chancesPart } from "./simulations/chancesPage.ts";
import { simulationsPart } from "./simulations/page.ts";
import { secondLabPart } from "./simulations/secondLab/page.ts";

/** What was recomputed, as a page; and what could not be, or came out unlike what the checks say. */
export interface ValidationPage {
  readonly text: string;
  /** Files of published data that are not on this machine. */
  readonly missing: readonly string[];
  /** Outside its tolerance without a reason, or with a reason that is no longer true. */
  readonly unexpected: readonly string[];
  readonly summary: string;
}

interface SimulationsDone {
  readonly group: CheckGroup;
  readonly check: Check;
  readonly outcome: CheckOutcome;
}

interface DoneSet {
  readonly set: WholeSet;
  readonly measure: Measure;
  readonly outcome: SetOutcome;
}

export function validationPage(): ValidationPage {
  const allSets = [...sets, ...slowSets];
  const missing = [...groups, ...allSets].flatMap(({ needs }) =>
    needs !== undefined && checkDataPath(needs) === null ? [needs] : [],
  );
  const checks = groups.flatMap((group): SimulationsDone[] => {
    const path = group.needs === undefined ? "" : checkDataPath(group.needs);
    if (path === null) return [];
    return group.checks(path).map((check) => ({ group, check, outcome: outcomeOf(check) }));
  });
  const measures = allSets.flatMap((set): DoneSet[] => {
    const path = checkDataPath(set.needs);
    if (path === null) return [];
    return set.measures(path).map((measure) => ({ set, measure, outcome: setOutcomeOf(measure) }));
  });
  const summary = summaryOf(checks, measures);
  const simulated = simulationsPart();
  const chances = chancesPart();
  const topics = [...new Set(checks.map(({ group }) => group.topic))];
  const parts = [
    introduction,
    summary,
    ...topics.map((topic) =>
      topicPart(
        topic,
        checks.filter(({ group }) => group.topic === topic),
      ),
    ),
    setsPart(measures),
    simulated.text,
    chances.text,
    secondLabPart(),
    differencesPart(checks, measures),
    sourcesPart([...checks.map(({ group }) => group.source), ...measures.map(({ set }) => set.source)]),
  ];
  return {
    text: `${parts.join("\n\n")}\n`,
    missing: [...new Set(missing)],
    unexpected: [...unexpectedOf(checks, measures), ...simulated.unexpected, ...chances.unexpected],
    summary,
  };
}

const introduction = `# Outside checks

Written by \`npm run validate\`, which recomputes every number here. The test suite holds each one to the tolerance shown.

- **Printed**: the value stands in a document. **Computed**: worked out for this project by other means than its code. Seen: whether the document was read, read second-hand, or is from memory.
- Where no tolerance is shown, ours must round to every printed digit. "3 of 4" counts the leading digits that agree. "Off" is the difference over the published value, or the plain difference where it says absolute.
- Nothing was adjusted to a source. Where ours differs, the row says so and the reason stands below the tables.`;

function summaryOf(checks: readonly SimulationsDone[], measures: readonly DoneSet[]): string {
  const printed = checks.filter(({ group }) => group.kind === "printed");
  const seen = printed.filter(({ group }) => group.source.reading !== "from memory");
  const setRows = new Map(measures.map(({ set, outcome }) => [set.source.short, outcome.rows]));
  const values = measures.reduce((sum, { outcome }) => sum + outcome.rows, 0);
  const sources = new Set([...seen.map(({ group }) => group.source.short), ...setRows.keys()]);
  const fromMemory = new Set(printed.map(({ group }) => group.source.short).filter((s) => !sources.has(s)));
  const differing =
    checks.filter(({ outcome }) => !outcome.isWithin).length +
    measures.filter(({ outcome }) => !outcome.isWithin).length;
  return [
    `${seen.length} printed values and ${setRows.size} whole data sets (${grouped(values)} values) from ${sources.size} sources that were seen;`,
    `${printed.length - seen.length} more printed values from ${fromMemory.size} sources from memory;`,
    `${checks.length - printed.length} values computed independently.`,
    `${differing} of the ${checks.length + measures.length} lines below differ, each with its reason.`,
  ].join(" ");
}

function topicPart(topic: string, done: readonly SimulationsDone[]): string {
  return [
    `## ${topic}`,
    "",
    markdownTable(
      ["quantity", "published", "ours", "digits matched or deviation", "kind", "source", "seen"],
      done.map(({ group, check, outcome }) => [
        check.quantity,
        check.published,
        besidePrinted(outcome.ours, check.published),
        `${outcome.isWithin ? "" : "**differs**: "}${outcome.agreement}`,
        ...origin(group.kind, group.source),
      ]),
    ),
  ].join("\n");
}

function setsPart(done: readonly DoneSet[]): string {
  const conventions = new Map(done.map(({ set }) => [set.source.short, set.convention]));
  return [
    "## Whole data sets, every row, the worst shown",
    "",
    markdownTable(
      [
        "set",
        "quantity",
        "rows within",
        "tolerance",
        "worst row",
        "published",
        "ours",
        "off",
        "kind",
        "seen",
      ],
      done.map(({ set, measure, outcome }) => [
        set.source.short,
        measure.quantity,
        `${outcome.isWithin ? "" : "**differs**: "}${grouped(outcome.rowsWithin)} of ${grouped(outcome.rows)}`,
        toleranceWords(measure.tolerance),
        outcome.worst.name,
        String(outcome.worst.published),
        String(Number(outcome.worst.ours.toPrecision(12))),
        small(outcome.worstDeviation),
        set.kind,
        set.source.reading,
      ]),
    ),
    "",
    ...[...conventions].map(([name, convention]) => `- ${name}: ${convention}.`),
  ].join("\n");
}

function differencesPart(checks: readonly SimulationsDone[], measures: readonly DoneSet[]): string {
  const reasons = new Map<string, Map<string, string[]>>();
  const add = (reason: string | undefined, source: Source, quantity: string) => {
    if (reason === undefined) return;
    const bySource = reasons.get(reason) ?? new Map<string, string[]>();
    bySource.set(source.short, [...(bySource.get(source.short) ?? []), quantity]);
    reasons.set(reason, bySource);
  };
  for (const { group, check } of checks) add(check.differs, group.source, check.quantity);
  for (const { set, measure } of measures) add(measure.differs, set.source, measure.quantity);
  const lines = [...reasons].map(([reason, bySource]) => {
    const where = [...bySource].map(([source, quantities]) => `${source}: ${quantities.join("; ")}`);
    return `- **${where.join(". ")}.** ${reason}`;
  });
  return ["## Where ours and a source differ", "", ...lines].join("\n");
}

function sourcesPart(used: readonly Source[]): string {
  const sources = new Map(used.map((source) => [source.short, source]));
  return [
    "## Sources",
    "",
    ...[...sources.values()].map(({ short, full, reading }) => `- **${short}** (${reading}): ${full}`),
  ].join("\n");
}

function unexpectedOf(checks: readonly SimulationsDone[], measures: readonly DoneSet[]): string[] {
  const lines = [
    ...checks.map(({ group, check, outcome }) => ({ source: group.source, of: check, outcome })),
    ...measures.map(({ set, measure, outcome }) => ({ source: set.source, of: measure, outcome })),
  ];
  return lines.flatMap(({ source, of, outcome }) => {
    if (outcome.isWithin === (of.differs === undefined)) return [];
    const what = outcome.isWithin ? "agrees, though a reason to differ is given" : "differs without a reason";
    return [`${source.short}: ${of.quantity} ${what}`];
  });
}

function origin(kind: CheckKind, source: Source): string[] {
  return [kind, source.short, source.reading];
}

function toleranceWords(tolerance: Tolerance): string {
  if (tolerance.by === "ratio") return small(tolerance.atMost);
  if (tolerance.by !== "difference") return tolerance.by;
  return tolerance.atMost === 0 ? "exact" : `${small(tolerance.atMost)} absolute`;
}

function grouped(count: number): string {
  return String(count).replace(/\B(?=(\d{3})+$)/g, ",");
}
