import type { Problem } from "#distributions/problem.ts";
import { capital, counted } from "#model/words/wording.ts";
import { unbroken } from "#ui/parts/format.ts";
import { ProblemList } from "#ui/parts/problemList.tsx";

/** Notes on the powder judged, in a line of the frame: one is said, of several the first, with all of them folded away. */
export function FrameNotes({ problems }: { problems: readonly Problem[] }) {
  const [first, ...others] = problems;
  if (first === undefined || others.length === 0) return <ProblemList problems={problems} />;
  return (
    <details class="frame-notes">
      <summary>
        {capital(counted(problems.length, "note"))}, first: {unbroken(first.message)}
      </summary>
      <ProblemList problems={problems} />
    </details>
  );
}
