import { computed, signal } from "@preact/signals";
import { type CostRange, costAnswer, type Prices } from "#model/answers/mill/costAnswer.ts";
import { wheelNumbersFrom } from "#model/answers/mill/wheelNumbers.ts";
import { chanceText } from "#model/words/wording.ts";
import { millInUse as mill } from "#ui/data/knownOfMill.ts";
import { trials } from "#ui/data/mill.ts";
import { figures, rpm, unbroken } from "#ui/parts/format.ts";
import { NumberField } from "#ui/parts/numberField.tsx";
import { Wide } from "#ui/parts/wide.tsx";
import { bandPlanned } from "./refiring.ts";
import { feedKgPerH, fittedMill, flowM3PerH, judged, settingFault, speedRange, speedRpm } from "./wheel.ts";
import { finesBelowUm } from "./wholeProduct.ts";

/** What the reader pays; nothing is assumed. */
const prices = signal<Prices>({});

/** Speeds beside the one chosen, as shares of it. */
const besides = [0.9, 0.95, 1, 1.05, 1.1];

/** The chosen speed and some beside it, each with its chance and what it takes. */
const settings = computed(() => {
  const saved = mill.value;
  if (saved === null || settingFault.value !== null || !(speedRpm.value > 0)) return [];
  const known = trials.value.map(({ trial }) => trial);
  const [least] = speedRange.value;
  const most = saved.mill.ratedSpeedRpm ?? Number.POSITIVE_INFINITY;
  const at = { flowM3PerH: flowM3PerH.value, feedKgPerH: feedKgPerH.value };
  const speeds = besides.map((share) => ({ share, speed: Math.round((share * speedRpm.value) / 10) * 10 }));
  return speeds
    .map(({ share, speed }) => ({ isChosen: share === 1, speed: share === 1 ? speedRpm.value : speed }))
    .filter(({ speed, isChosen }) => isChosen || (speed >= least && speed <= most))
    .map(({ speed, isChosen }) => {
      const answer = wheelNumbersFrom(saved.mill, fittedMill.value, {
        flowM3PerH: at.flowM3PerH,
        ...(at.feedKgPerH === null ? {} : { feedKgPerH: at.feedKgPerH }),
        speedRpm: speed,
        wantsBest: false,
        ...(bandPlanned.value === null ? {} : { band: bandPlanned.value }),
        ...(judged.value === null ? {} : { judged: judged.value }),
      });
      const { d10Um, d50Um, inBand } = answer;
      const cost = costAnswer(saved.mill, known, {
        ...at,
        ...prices.value,
        d10Um,
        d50Um,
        finesBelowUm: finesBelowUm.value,
      });
      return { speed, isChosen, chance: inBand?.probability ?? null, cost };
    });
});

/** What each setting near the chosen one costs, beside its chance of being in band. */
export function PlanCost() {
  const chosen = settings.value.find(({ isChosen }) => isChosen);
  if (chosen === undefined) return null;
  return (
    <section aria-labelledby="plan-cost">
      <h3 id="plan-cost">Cost beside the chance</h3>
      <p role="status">{unbroken(chosen.cost.sentence)}</p>
      <PriceFields />
      <CostTable />
    </section>
  );
}

const priceFields = [
  ["gasPerM3", "Gas", "per m³ at the wheel"],
  ["energyPerKWh", "Energy of the jets", "per kWh"],
  ["feedPerKg", "Feed powder", "per kg"],
  ["perHour", "Mill and operator", "per hour"],
] as const;

function PriceFields() {
  const enter = (name: keyof Prices, value: number | string | null) => {
    const { [name]: _, ...others } = prices.value;
    prices.value = value === null || value === "" ? others : { ...others, [name]: value };
  };
  return (
    <fieldset>
      <legend>Prices, each optional, in one currency</legend>
      <label class="field">
        Currency{" "}
        <input
          type="text"
          size={6}
          value={prices.value.currency ?? ""}
          onInput={(event) => enter("currency", event.currentTarget.value.trim())}
        />
      </label>
      {priceFields.map(([name, label, unit]) => (
        <NumberField
          key={name}
          label={`Price: ${label}`}
          unit={unit}
          value={prices.value[name] ?? null}
          min={0}
          mayBeEmpty
          onChange={(value) => {
            if (value === null || value > 0) enter(name, value);
          }}
        />
      ))}
    </fieldset>
  );
}

function CostTable() {
  const isPriced = settings.value.some(({ cost }) => cost.pricePerKg !== null);
  return (
    <Wide name="Cost of settings near the chosen one">
      <table>
        <thead>
          <tr>
            <th scope="col">Speed</th>
            <th scope="col">Chance of being in band</th>
            <th scope="col">Product, kg/h</th>
            <th scope="col">Yield, %</th>
            <th scope="col">Lost, kg/h</th>
            <th scope="col">Gas, m³/kg</th>
            <th scope="col">Jets, kWh/kg</th>
            <th scope="col">Milled fines below {figures(finesBelowUm.value)} µm, %</th>
            {isPriced && <th scope="col">{prices.value.currency ?? "Price"} per kg</th>}
          </tr>
        </thead>
        <tbody>
          {settings.value.map(({ speed, isChosen, chance, cost }) => (
            <tr key={speed} class={isChosen ? "whole" : undefined}>
              <th scope="row">
                {rpm(speed)}
                {isChosen ? ", chosen" : ""}
              </th>
              <td>{chance === null ? "not known" : chanceText(chance)}</td>
              <td>{ranged(cost.productKgPerH)}</td>
              <td>{ranged(cost.yield, 100)}</td>
              <td>{ranged(cost.lostKgPerH)}</td>
              <td>{ranged(cost.gasM3PerKg)}</td>
              <td>{ranged(cost.energyKWhPerKg)}</td>
              <td>{ranged(cost.finesShare, 100)}</td>
              {isPriced && <td>{ranged(cost.pricePerKg)}</td>}
            </tr>
          ))}
        </tbody>
      </table>
    </Wide>
  );
}

/** "8.49 (6.96–10.0)"; what is not known says so. */
function ranged(of: CostRange | null, by = 1): string {
  if (of === null) return "not known";
  const { median, low, high } = of;
  const within = low === null || high === null ? "" : ` (${figures(by * low)}–${figures(by * high)})`;
  return `${figures(by * median)}${within}`;
}
