import { cvLimitsNames } from "#model/runs/cvLimits.ts";
import { Choice } from "../parts/choice.tsx";
import { figures } from "../parts/format.ts";
import { limitsName, repeatRuns } from "../state/sizes.ts";

/** Whether the repeat runs repeat: scatter against limits, the odd run, trends, copies. */
export function RepeatRuns() {
  const { lots, limits, pooled } = repeatRuns.value;
  const lot = lots.find((l) => l.file === "this lot");
  if (lot === undefined) return null;
  const spread = pooled["50"] ?? null;
  return (
    <section aria-labelledby="repeat">
      <h2 id="repeat">Repeat runs</h2>
      <p class="lead">{lot.sentence}</p>
      <Choice
        label="Limits"
        value={limitsName.value}
        options={cvLimitsNames}
        say={(name) => (name === "iso-13320" ? "ISO 13320" : "USP <429>")}
        onChange={(name) => {
          limitsName.value = name;
        }}
      />
      <div class="scroll">
        <table>
          <caption class="quiet">
            Limits as quoted in {limits.source}: read the document before citing it
            {limits.doubledBelowUm === null ? "" : `; doubled below ${limits.doubledBelowUm} µm`}.
          </caption>
          <thead>
            <tr>
              <th scope="col">Size</th>
              <th scope="col">Mean, µm</th>
              <th scope="col">CV, %</th>
              <th scope="col">Limit, %</th>
              <th scope="col">Within</th>
              <th scope="col">From run to run</th>
            </tr>
          </thead>
          <tbody>
            {lot.scatter.map((s) => (
              <tr key={s.percent}>
                <th scope="row">D{s.percent}</th>
                <td class="number">{figures(s.meanUm)}</td>
                <td class="number">{figures(s.cvPercent)}</td>
                <td class="number">{figures(s.allowedPercent)}</td>
                <td>{s.isWithin === null ? "five runs are needed" : s.isWithin ? "yes" : "no"}</td>
                <td>{s.trend}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </div>
      {spread !== null && (
        <p class="quiet">
          Pooled over the kept lots of this stage, runs scatter by {figures(100 * spread.sdLn)} % at D50 (
          {spread.degrees} degrees of freedom).
        </p>
      )}
    </section>
  );
}
