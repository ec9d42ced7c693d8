import { quantities } from "#distributions/measured.ts";
import { Choice } from "../parts/choice.tsx";
import { figures, percent, withUnit } from "../parts/format.ts";
import { NumberField } from "../parts/numberField.tsx";
import { ProblemList } from "../parts/problemList.tsx";
import { belowUm, described, otherPercentile, quantity, shareBelow, surface } from "../state/subject.ts";

/** Sizes, widths and areas of each run, weighted as chosen, and the BET area to expect. */
export function Describe() {
  const { measurements, problems } = described.value;
  const percents = Object.keys(measurements[0]?.percentilesUm ?? {});
  const area = surface.value;
  return (
    <section aria-labelledby="describe">
      <h2 id="describe">Sizes and surface</h2>
      {area !== null && <p class="lead">{area.sentence}</p>}
      <Choice
        label="Weighted by"
        value={quantity.value}
        options={quantities}
        onChange={(v) => {
          quantity.value = v;
        }}
      />
      <NumberField
        label="Another percentile"
        unit="%"
        value={otherPercentile.value}
        min={0.1}
        max={99.9}
        onChange={(v) => {
          if (v !== null && v > 0 && v < 100) otherPercentile.value = v;
        }}
      />
      <NumberField
        label="Share below"
        unit="µm"
        value={belowUm.value}
        min={0.001}
        onChange={(v) => {
          if (v !== null && v > 0) belowUm.value = v;
        }}
      />
      <p>
        {shareBelow.value === null
          ? ""
          : `Below ${belowUm.value} µm lies ${percent(shareBelow.value)} by the quantity measured, on average over the runs.`}
      </p>
      <div class="scroll">
        <table>
          <caption class="quiet">
            Sizes in µm, weighted by {quantity.value}; D[p,q] as measured; area of smooth dense spheres in
            m²/g
          </caption>
          <thead>
            <tr>
              <th scope="col">Run</th>
              {percents.map((p) => (
                <th scope="col" key={p}>
                  D{p}
                </th>
              ))}
              <th scope="col">Span</th>
              <th scope="col">D[4,3]</th>
              <th scope="col">D[3,2]</th>
              <th scope="col">D[1,0]</th>
              <th scope="col">Area</th>
            </tr>
          </thead>
          <tbody>
            {measurements.map((m) => (
              <tr key={m.name}>
                <th scope="row">{m.name}</th>
                {percents.map((p) => (
                  <td class="number" key={p}>
                    {figures(m.percentilesUm[p] ?? null)}
                  </td>
                ))}
                <td class="number">{figures(m.span)}</td>
                <td class="number">{figures(m.meansUm["4,3"])}</td>
                <td class="number">{figures(m.meansUm["3,2"])}</td>
                <td class="number">{figures(m.meansUm["1,0"])}</td>
                <td class="number">
                  {m.surfaceIsLowerBound ? "≥ " : ""}
                  {withUnit(m.surfaceM2PerG, "")}
                </td>
              </tr>
            ))}
          </tbody>
        </table>
      </div>
      <ProblemList problems={problems.slice(0, 6)} />
      {area !== null && <ProblemList problems={area.problems} />}
    </section>
  );
}
