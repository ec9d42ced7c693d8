import { curveOf, sizeAt } from "../curve.ts";
import { type Measured, type Quantity, quantities } from "../measured.ts";
import { convert } from "../moments.ts";
import { type Choice, type Problem, problem } from "../problem.ts";
import type { Built } from "./buildDistribution.ts";
import { figuresText } from "./figuresText.ts";
import type { ValuesOption } from "./readingOptions.ts";
import type { SeriesContext } from "./seriesContext.ts";
import { saysMid } from "./words.ts";

/** What the table leaves open, with the median under each answer. */
export function questionsOf(
  built: Built,
  context: SeriesContext,
  at: { file: string | null; measurement: string; row: number | null; column: number | null },
  kind: ValuesOption,
): Problem[] {
  const questions: Problem[] = [];
  if (kind === "class" && built.options.length > 1) {
    const choices = built.options.map(({ edge, distribution }) => ({
      option: "edge",
      value: edge,
      d50Um: sizeAt(curveOf(distribution), 0.5),
    }));
    questions.push(
      question(
        saysMid(context.sizeHeading)
          ? "The sizes are mids: geometric or arithmetic? Say which."
          : "Each size can be the lower or the upper edge of its class. Say which.",
        choices,
        at,
        context.sizeHeading,
      ),
    );
  }
  if (context.quantity === null) {
    const base = built.options.at(-1)?.distribution;
    const choices = quantities.map((quantity) => ({
      option: "quantity",
      value: quantity,
      d50Um: base === undefined ? null : volumeD50(base, quantity),
    }));
    questions.push(
      question(
        "The table does not say what its shares count: number, length, surface or volume. Say which; the D50 given is by volume.",
        choices,
        at,
        context.sizeHeading,
      ),
    );
  }
  return questions;
}

/** The median by volume if the shares were of this quantity. */
function volumeD50(m: Measured, quantity: Quantity): number | null {
  const volume = convert({ ...m, quantity, measuredAs: quantity }, "volume");
  return volume === null ? null : sizeAt(curveOf(volume), 0.5);
}

function question(
  message: string,
  choices: readonly Choice[],
  at: { file: string | null; measurement: string; row: number | null; column: number | null },
  heading: string,
): Problem {
  const effect = choices
    .map((c) => `${c.value}: D50 ${c.d50Um === null ? "not known" : `${figuresText(c.d50Um)} µm`}`)
    .join("; ");
  return problem("question", message, {
    ...at,
    found: heading === "" ? "no heading" : heading,
    expected: choices.map((c) => c.value).join(", "),
    effect,
    choices,
  });
}
