import { parametersOf } from "#distributions/families/parameters.ts";
import type { FitAnswer } from "#model/answers/lot/fitAnswer.ts";
import { familyName } from "#ui/parts/familyName.ts";
import { figures, range, unbroken } from "#ui/parts/format.ts";
import { Wide } from "#ui/parts/wide.tsx";

/** A parameter's name and, after what is said of it, its unit; those of a mixture carry their component's number. */
function parameterText(name: string, said: string): string {
  const [, place, plain] = /^components\[(\d)\]\.(.+)$/.exec(name) ?? [null, null, name];
  const words: Readonly<Record<string, string>> = {
    medianUm: "median",
    gsd: "geometric SD",
    characteristicUm: "characteristic size",
    spreadExponent: "spread exponent",
    topUm: "top size",
    exponent: "exponent",
    transformedMedian: "transformed median",
    logSd: "SD of ln",
    weight: "weight",
  };
  const word = words[plain ?? name] ?? name;
  const part = place === null || place === undefined ? "" : `${Number(place) + 1}: `;
  return `${part}${word} ${said}${name.endsWith("Um") ? " µm" : ""}`;
}

/** A value and its error: no digit of either that the other makes idle. */
function withError(value: number, error: number | null): string {
  if (error === null) return figures(value);
  const least = 0.0005 * Math.abs(value);
  return error < least
    ? `${figures(value)} ± under ${figures(least)}`
    : `${figures(value)} ± ${figures(error)}`;
}

/** Families ranked, their parameters over the runs, and each run's own. */
export function FitTables({ of: { fits, ranking, overRuns } }: { of: FitAnswer }) {
  return (
    <>
      <Wide name="Curves by misfit">
        <table>
          <caption class="quiet">
            Curves by misfit. Intervals: 95 %, Student's t over the estimates of the runs. AICc, a misfit with
            a penalty for each parameter, serves for ranking only.
          </caption>
          <thead>
            <tr>
              <th scope="col">Curve</th>
              <th scope="col">Misfit, points</th>
              <th scope="col">Distinguishable from the best</th>
              <th scope="col">Parameters over the runs</th>
              <th scope="col">AICc</th>
            </tr>
          </thead>
          <tbody>
            {ranking.map((row, i) => (
              <tr key={row.family}>
                <th scope="row">{familyName(row.family)}</th>
                <td class="number">{figures(row.rmsPoints)}</td>
                <td>{i === 0 ? "the best" : row.isToldApart ? "yes" : "no"}</td>
                <td class="wordy">
                  {Object.entries(overRuns.find((o) => o.family === row.family)?.parameters ?? {}).map(
                    ([name, p]) => (
                      <div key={name}>
                        {unbroken(parameterText(name, figures(p.value)))}{" "}
                        <span class="quiet">({range(p.low, p.high, "")})</span>
                      </div>
                    ),
                  )}
                </td>
                <td class="number">{row.aicc === null ? "not ranked" : figures(row.aicc)}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </Wide>

      <h3>Parameters of each run</h3>
      <Wide name="Parameters of each run">
        <table>
          <caption class="quiet">
            Standard errors are numerical, from the curvature; they are not confidence intervals
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
                <td>{familyName(f.family)}</td>
                <td class="wordy">
                  {parametersOf(f)
                    .map(({ name, value }) =>
                      parameterText(name, withError(value, f.standardErrors[name] ?? null)),
                    )
                    .join("; ")}
                </td>
                <td class="number">{figures(f.rmsPoints)}</td>
                <td>{f.status}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </Wide>
    </>
  );
}
