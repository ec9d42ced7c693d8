import { Overlay } from "../charts/overlay.tsx";
import { Choice } from "../parts/choice.tsx";
import { figures, signed } from "../parts/format.ts";
import { ProblemList } from "../parts/problemList.tsx";
import { goTo } from "../state/place.ts";
import { comparedStages, comparison, lot, overlaySizes, stageLine } from "../state/subject.ts";

/** What one stage did: two stages of the lot held against each other. */
export function Compare() {
  const pair = comparedStages.value;
  const answer = comparison.value;
  if (pair === null || answer === null || pair.a.curve === null || pair.b.curve === null)
    return <h1>Two stages with measurements are needed to compare. Bring in their tables.</h1>;
  const names = stageLine.value.map((s) => s.stage);
  const sentence = answer.sentence.replace("The second", `Against ${pair.a.stage}, ${pair.b.stage} powder`);
  return (
    <>
      <h1>{sentence}</h1>
      <p class="lead">
        {lot.value?.name ?? ""}.{" "}
        <Choice
          label="From"
          value={pair.a.stage}
          options={names}
          onChange={(against) => goTo({ page: "compare", against })}
        />
        <Choice
          label="to"
          value={pair.b.stage}
          options={names}
          onChange={(stage) => goTo({ page: "compare", stage })}
        />
      </p>
      <Overlay
        finding={sentence}
        sizesUm={overlaySizes.value}
        view="undersize"
        band={null}
        product={{ label: pair.b.stage, curve: pair.b.curve, isPredicted: false }}
        others={[{ label: pair.a.stage, curve: pair.a.curve }]}
      />
      <h2>What changed</h2>
      <div class="scroll">
        <table>
          <tbody>
            <tr>
              <th scope="row">Max gap</th>
              <td>
                {figures(answer.maxGapPoints)} points at {figures(answer.atUm)} µm
              </td>
            </tr>
            <tr>
              <th scope="row">Shift, whichever way</th>
              <td>{figures(answer.shiftPercent)} % of size</td>
            </tr>
            <tr>
              <th scope="row">Mean shift</th>
              <td>{signed(answer.meanShiftPercent, "% of size")}</td>
            </tr>
            <tr>
              <th scope="row">Overlap</th>
              <td>{figures(answer.overlap * 100)} %</td>
            </tr>
            {Object.entries(answer.percentileRatios).map(([p, ratio]) => (
              <tr key={p}>
                <th scope="row">D{p} ratio</th>
                <td>{figures(ratio)}</td>
              </tr>
            ))}
            {Object.entries(answer.finesPoints).map(([x, points]) => (
              <tr key={x}>
                <th scope="row">Fines made below {x} µm</th>
                <td>{signed(points, "points")}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </div>
      <ProblemList problems={answer.problems} />
    </>
  );
}
