import { stagesAnswer } from "#model/answers/compare/stagesAnswer.ts";
import { gainLostSentence } from "#model/answers/compare/stagesWords.ts";
import { byVolume } from "#model/lot/byVolume.ts";
import { stages } from "#model/lot/stages.ts";
import { finesBars } from "#model/pictures/finesBars.ts";
import { pictureSvg } from "#model/pictures/pictureSvg.ts";
import type { Report, ReportQuestion } from "./report.ts";

/** So that the letters of one step and of three are as large on paper. */
const stepWidth = 175;
const leastWidth = 260;
const balanceHeight = 230;

/** What each step did to the fines, stage by stage in the order of the process. */
export function finesBalanceOf({ stage, runs, massG, others, line }: ReportQuestion): Report["ledger"] {
  const own = massG === undefined ? { stage, runs } : { stage, runs, massG };
  const order = line ?? stages.map((usual) => ({ stage: usual, name: usual }));
  const inOrder = order.flatMap(({ stage: s, name }) =>
    s === "reference"
      ? []
      : [own, ...others].filter((o) => o.stage === s).map((o) => ({ ...o, stage: name })),
  );
  const known = inOrder.filter((o) => o.runs.length > 0 && byVolume(o.runs).runs !== null);
  if (known.length < 2) return null;
  // Humps are the slow part, and not part of the balance.
  const balance = stagesAnswer(
    known.map((o) => ({ ...o, humps: null })),
    { belowUm: [0.5, 1, 2] },
  );
  const sentence =
    balance.gainLost === null
      ? ""
      : gainLostSentence(
          balance.gainLost,
          known.map((o) => o.stage),
        );
  const picture = finesBars(balance.steps, {
    name: "Fines gained or lost in each step",
    width: Math.max(leastWidth, stepWidth * balance.steps.length),
    height: balanceHeight,
  });
  return picture === null
    ? null
    : { title: "Fines balance", steps: balance.steps.length, sentence, svg: pictureSvg(picture) };
}
