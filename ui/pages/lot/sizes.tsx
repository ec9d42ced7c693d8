import { inClassRules, quantities } from "#distributions/sizeDistribution.ts";
import { counted } from "#model/words/wording.ts";
import { belowUm, density } from "#ui/data/selection.ts";
import { surface } from "#ui/data/surface.ts";
import { Choice } from "#ui/parts/choice.tsx";
import { percent } from "#ui/parts/format.ts";
import { HowFound } from "#ui/parts/howFound.tsx";
import { NumberField } from "#ui/parts/numberField.tsx";
import { ProblemList } from "#ui/parts/problemList.tsx";
import { RuleEffects } from "./ruleEffects.tsx";
import { described, inClass, otherPercentile, quantity, ruleInForce, shareBelow } from "./sizesState.ts";
import { SizesTable } from "./sizesTable.tsx";

/** Sizes, widths and areas over the runs and of each, weighted as chosen. */
export function Sizes() {
  const { measurements, problems } = described.value;
  const area = surface.value;
  const numbers = measurements.flatMap((m) =>
    m.numberInFinestTwo === undefined ? [] : [m.numberInFinestTwo],
  );
  const finest = numbers.length === 0 ? null : Math.max(...numbers);
  return (
    <section aria-labelledby="describe">
      <h2 id="describe">Sizes and surface</h2>
      {area !== null && <p class="lead">{area.sentence}</p>}
      <SizeChoices />
      <p>
        {shareBelow.value === null
          ? ""
          : `Undersize at ${belowUm.value} µm: ${percent(shareBelow.value)} by the quantity measured, mean of the runs.`}
      </p>
      <HowFound
        of={[
          "undersize, percentiles",
          "moments",
          "mean diameters",
          "change of quantity",
          "geometric area",
          "interval over runs",
          "span, largest class",
          "area by size",
          "BET ahead",
        ]}
        inputs={[
          `From ${counted(measurements.length, "run")}, weighted by ${quantity.value}, in-class rule ${ruleInForce.value}.`,
          density.value === null ? "" : `Density ${density.value} g/cm³.`,
        ]}
      >
        <SizesTable />
      </HowFound>
      {finest !== null && finest > 0.1 && (
        <p class="quiet">
          The finest two classes hold {percent(finest)} of the particles by number: D[1,0] and all
          number-weighted values depend on them.
        </p>
      )}
      <RuleEffects />
      <ProblemList problems={problems.slice(0, 6)} />
      {area !== null && <ProblemList problems={area.problems} />}
    </section>
  );
}

/** How sizes are weighted, the in-class rule, one percentile and one size of choice. */
function SizeChoices() {
  return (
    <>
      <Choice
        label="Weighted by"
        value={quantity.value}
        options={quantities}
        onChange={(v) => {
          quantity.value = v;
        }}
      />
      <Choice
        label="In-class rule"
        value={ruleInForce.value}
        options={inClassRules}
        onChange={(rule) => {
          inClass.value = rule;
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
    </>
  );
}
