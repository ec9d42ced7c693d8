import { cvLimitsNames } from "#model/lot/cvLimits.ts";
import { Choice } from "#ui/parts/choice.tsx";
import { figures } from "#ui/parts/format.ts";
import { HowFound } from "#ui/parts/howFound.tsx";
import { NumberField } from "#ui/parts/numberField.tsx";
import { Wide } from "#ui/parts/wide.tsx";
import { isPooled, limitsName, ownLimits, repeatRuns } from "./sizesState.ts";

const limitChoices = [...cvLimitsNames, "own"] as const;
const limitWords = { "iso-13320": "ISO 13320", "usp-429": "USP <429>", own: "own limits" } as const;

function OwnLimits() {
  return (
    <>
      {(["d10Percent", "d50Percent", "d90Percent"] as const).map((key) => (
        <NumberField
          key={key}
          label={`CV limit at ${key.replace("d", "D").replace("Percent", "")}`}
          unit="%"
          value={ownLimits.value[key]}
          min={0}
          onChange={(v) => {
            if (v !== null && v > 0) ownLimits.value = { ...ownLimits.value, [key]: v };
          }}
        />
      ))}
    </>
  );
}

/** Repeatability of the runs: scatter against limits, outlying run, trends, copies. */
export function RepeatRuns() {
  const { lot, limits, pooled } = repeatRuns.value;
  if (lot === null) return null;
  const spread = pooled["50"] ?? null;
  return (
    <section aria-labelledby="repeat">
      <h2 id="repeat">Repeat runs</h2>
      <p class="lead">{lot.sentence}</p>
      <Choice
        label="Limits"
        value={limitsName.value}
        options={limitChoices}
        say={(name) => limitWords[name]}
        onChange={(name) => {
          limitsName.value = name;
        }}
      />
      {limitsName.value === "own" && <OwnLimits />}
      <HowFound of={["CV limits", "odd run", "trend", "copies", "pooled spread"]} inputs={[]}>
        <Wide name="Scatter of the runs">
          <table>
            <caption class="quiet">
              {limitsName.value === "own"
                ? "Own limits."
                : `Limits as quoted in ${limits.source}, doubled below ${limits.doubledBelowUm ?? 0} µm; check the document before citing it.`}
            </caption>
            <thead>
              <tr>
                <th scope="col">Size</th>
                <th scope="col">Mean, µm</th>
                <th scope="col">CV, %</th>
                <th scope="col">Limit, %</th>
                <th scope="col">Within</th>
                <th scope="col">Trend</th>
              </tr>
            </thead>
            <tbody>
              {lot.scatter.map((s) => (
                <tr key={s.percent}>
                  <th scope="row">D{s.percent}</th>
                  <td class="number">{figures(s.meanUm)}</td>
                  <td class="number">{figures(s.cvPercent)}</td>
                  <td class="number">{figures(s.allowedPercent)}</td>
                  <td>{s.isWithin === null ? "needs five runs" : s.isWithin ? "yes" : "no"}</td>
                  <td>{s.trend}</td>
                </tr>
              ))}
            </tbody>
          </table>
        </Wide>
      </HowFound>
      {spread !== null && (
        <p class="quiet">
          {isPooled.value
            ? "Run-to-run standard deviation of D50, pooled with the other saved lots of the stage"
            : "Run-to-run standard deviation of D50 from these runs alone, as no other saved lot of the stage has repeat runs"}
          : {figures(100 * spread.sdLn)} % ({spread.degrees} degrees of freedom).
        </p>
      )}
    </section>
  );
}
