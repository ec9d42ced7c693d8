import { curveOf, sizeAt } from "#distributions/curve.ts";
import { convert } from "#distributions/moments.ts";
import { type Choice, type Problem, problem } from "#distributions/problem.ts";
import { type Quantity, quantities, type SizeDistribution } from "#distributions/sizeDistribution.ts";
import type { SeriesContext } from "#distributions/tables/evidence/seriesContext.ts";
import { figuresText } from "#distributions/tables/text/figuresText.ts";
import { saysMid } from "#distributions/tables/text/words.ts";
import type { Built } from "./buildDistribution.ts";

/** Where a question comes from. */
export interface TablePlace {
  readonly file: string | null;
  readonly measurement: string;
  readonly sheet?: string;
  readonly row: number | null;
  readonly column: number | null;
}

/** A question a series leaves open; the same one about several series is asked once. */
export interface OpenQuestion {
  readonly at: TablePlace;
  readonly option: string;
  readonly values: readonly string[];
  /** Worked out once a question is asked, not for each series it is about. */
  readonly choices: () => readonly Choice[];
  readonly found: string;
  /** The sentence, given how the measurements it is about are called. */
  readonly ask: (names: string) => string;
}

/** What the table leaves open, with the median under each answer. */
export function questionsOf(built: Built, context: SeriesContext, at: TablePlace): OpenQuestion[] {
  const questions: OpenQuestion[] = [];
  const heading = context.sizeHeading === "" ? "no heading" : context.sizeHeading;
  if (built.options.length > 1) {
    const isMid = saysMid(context.sizeHeading);
    questions.push({
      at,
      found: heading,
      option: "edge",
      values: built.options.map(({ edge }) => edge),
      choices: () =>
        built.options.map(({ edge, distribution }) => ({
          option: "edge",
          value: edge,
          d50Um: medianOf(distribution),
        })),
      ask: () =>
        isMid
          ? "The sizes are mids: geometric or arithmetic? Say which."
          : context.contradictions.edge !== undefined
            ? `${context.contradictions.edge}. Say which edge of its class each size is.`
            : `Each size can be the lower or the upper edge of its class${built.options.length > 2 ? ", or its mid" : ""}. Say which.${built.missing === null ? "" : ` ${built.missing}.`}`,
    });
  }
  if (context.quantity === null) {
    const base = built.options.at(-1)?.distribution;
    questions.push({
      at,
      found: heading,
      option: "quantity",
      values: quantities,
      choices: () =>
        quantities.map((quantity) => ({
          option: "quantity",
          value: quantity,
          d50Um: base === undefined ? null : volumeD50(base, quantity, context.meansOf),
        })),
      ask: (names) =>
        context.contradictions.quantity !== undefined
          ? `${context.contradictions.quantity}. Say what the shares of ${names} count. The D50 given is by volume.`
          : `Nothing says what the shares of ${names} count: number, length, surface or volume. Say which; until then ${names.includes(",") || names.includes(" and ") ? "they are" : "it is"} left out. The D50 given is by volume.`,
    });
  }
  return questions;
}

function medianOf(m: SizeDistribution): number | null {
  return sizeAt(curveOf(m), 0.5);
}

/** The median by volume if the shares were of this quantity. */
function volumeD50(
  m: SizeDistribution,
  quantity: Quantity,
  meansOf: SeriesContext["meansOf"],
): number | null {
  const volume = convert({ ...m, quantity, measuredAs: quantity }, "volume", meansOf(m));
  return volume === null ? null : medianOf(volume);
}

const maxNames = 5;

/** Asks each question once, naming the measurements that wait for it. */
export function askOnce(questions: readonly OpenQuestion[], total: number): Problem[] {
  const groups = new Map<string, OpenQuestion[]>();
  for (const q of questions) {
    const key = `${q.found}|${q.option}|${q.values.join()}|${q.ask("")}`;
    const group = groups.get(key);
    if (group === undefined) groups.set(key, [q]);
    else group.push(q);
  }
  return [...groups.values()].flatMap((group) => {
    const [first] = group;
    if (first === undefined) return [];
    const column = (q: OpenQuestion) =>
      q.at.column === null || q.at.row !== null ? "" : ` (column ${q.at.column})`;
    const listed = group.slice(0, maxNames).map((q) => `"${q.at.measurement}"${column(q)}`);
    const more = group.length - listed.length;
    const names =
      group.length === total && total > 1
        ? `the ${total} measurements, ${listed.join(", ")}${more > 0 ? ` and ${more} more` : ""},`
        : `${listed.join(", ")}${more > 0 ? ` and ${more} more` : ""}`;
    const choices = first.choices();
    const effect = effectOf(choices);
    return [
      problem("question", first.ask(names), {
        ...first.at,
        measurement: group.length === 1 ? first.at.measurement : null,
        column: group.length === 1 ? first.at.column : null,
        row: group.length === 1 ? first.at.row : null,
        found: first.found,
        expected: first.values.join(", "),
        effect: group.length > 1 ? `${effect} (of "${first.at.measurement}")` : effect,
        choices,
      }),
    ];
  });
}

/** What each answer would make of D50. */
export function effectOf(choices: readonly Choice[]): string {
  return choices
    .map((c) => `${c.value}: D50 ${c.d50Um === null ? "not known" : `${figuresText(c.d50Um)} µm`}`)
    .join("; ");
}

/** The same note or refusal about several measurements is given once. */
export function sayOnce(problems: readonly Problem[], total: number): Problem[] {
  const groups = new Map<string, Problem[]>();
  for (const p of problems) {
    const key =
      p.severity === "question" || (p.measurement === null && p.row !== null)
        ? `${groups.size} alone`
        : `${p.severity}|${p.message}|${p.sheet}|${p.row}|${p.effect}`;
    const group = groups.get(key);
    if (group === undefined) groups.set(key, [p]);
    else group.push(p);
  }
  return [...groups.values()].flatMap((group) => {
    const [first] = group;
    if (first === undefined || group.length === 1) return group;
    if (first.measurement === null) return [first];
    const names = group.slice(0, maxNames).map((p) => p.measurement);
    const more = group.length - names.length;
    const who = group.length === total ? "" : ` (${names.join(", ")}${more > 0 ? ` and ${more} more` : ""})`;
    return [{ ...first, measurement: null, column: null, message: `${first.message}${who}` }];
  });
}
