import { LineChart } from "../charts/lineChart.tsx";
import { ErrorBoundary } from "../parts/errorBoundary.tsx";
import { figures } from "../parts/format.ts";
import { ProblemList } from "../parts/problemList.tsx";
import { fitted } from "../state/subject.ts";

const familyWords = { "log-normal": "Log-normal", "rosin-rammler": "Rosin–Rammler" } as const;
const parameterWords: Readonly<Record<string, string>> = {
  medianUm: "median, µm",
  gsd: "geometric SD",
  characteristicUm: "characteristic size, µm",
  spreadExponent: "spread exponent",
};

/** Which simple curve describes the powder, and what it leaves over. */
export function Fits() {
  const { fits, sentence, problems } = fitted.value;
  const [first] = fits;
  const ofFirst = fits.filter((f) => f.name === first?.name);
  const most = Math.max(1, ...ofFirst.map((f) => f.maxGapPoints)) * 1.1;
  const sizes = ofFirst[0]?.residuals.map((r) => r.sizeUm) ?? [];
  return (
    <section aria-labelledby="fit">
      <h2 id="fit">Curve fit</h2>
      <p class="lead">{sentence}</p>
      {sizes.length > 2 && (
        <ErrorBoundary what="The residuals">
          <p class="quiet">Measured less fitted, in points, of {first?.name}:</p>
          <LineChart
            finding={`Residuals of the fits to ${first?.name ?? ""}: ${ofFirst.map((f) => `${familyWords[f.family]} at most ${figures(f.maxGapPoints)} points`).join(", ")}.`}
            height={150}
            x={{
              label: "size, µm",
              range: [sizes[0] ?? 0.1, sizes.at(-1) ?? 100],
              log: true,
              show: (v) => `${Number(v.toPrecision(3))} µm`,
            }}
            y={{ label: "points", range: [-most, most] }}
            xs={sizes}
            lines={ofFirst.map((f) => ({
              key: f.family,
              label: familyWords[f.family],
              stroke: f.family === "log-normal" ? ("product" as const) : ("stage-1" as const),
              values: f.residuals.map((r) => r.points),
              labelAt: 0.7 * Math.max(...f.residuals.map((r) => r.points)),
            }))}
          />
        </ErrorBoundary>
      )}
      <details>
        <summary>Parameters of each run</summary>
        <div class="scroll">
          <table>
            <caption class="quiet">
              Standard errors are numerical, from the curvature: they are no confidence
            </caption>
            <thead>
              <tr>
                <th scope="col">Run</th>
                <th scope="col">Curve</th>
                <th scope="col">Parameters ± standard error</th>
                <th scope="col">Misfit, points</th>
                <th scope="col">Status</th>
              </tr>
            </thead>
            <tbody>
              {fits.map((f) => (
                <tr key={`${f.name}${f.family}`}>
                  <th scope="row">{f.name}</th>
                  <td>{familyWords[f.family]}</td>
                  <td>
                    {Object.entries(f.parameters)
                      .map(
                        ([name, value]) =>
                          `${parameterWords[name] ?? name} ${figures(value)} ± ${figures(f.standardErrors[name] ?? null)}`,
                      )
                      .join("; ")}
                  </td>
                  <td class="number">{figures(f.rmsPoints)}</td>
                  <td>{f.status}</td>
                </tr>
              ))}
            </tbody>
          </table>
        </div>
      </details>
      <ProblemList problems={problems} />
    </section>
  );
}
