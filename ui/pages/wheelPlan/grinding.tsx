import { useEffect } from "preact/hooks";
import { geometricSteps } from "#model/numbers/evenSteps.ts";
import { overlayValues } from "#model/pictures/overlay.ts";
import { LineChart } from "#ui/charts/lineChart.tsx";
import type { DrawnLine } from "#ui/charts/lineChartProps.ts";
import { Choice } from "#ui/parts/choice.tsx";
import { ErrorBoundary } from "#ui/parts/errorBoundary.tsx";
import { figures } from "#ui/parts/format.ts";
import { NumberField } from "#ui/parts/numberField.tsx";
import { GrindingNumbers } from "./grindingNumbers.tsx";
import { enterPriors, priorsInForce } from "./priors.ts";
import {
  chooseFeed,
  feedChoices,
  feedCurve,
  feedStage,
  fragmentKind,
  isProductOpen,
  isWorking,
  sayFeed,
} from "./product.ts";
import { SavePriors } from "./savePriors.tsx";
import { goToAwaitedProduct, productPart } from "./showProduct.ts";
import { finesBelowUm, product, residueAboveUm } from "./wholeProduct.ts";

const sizeAxis = {
  label: "size, µm",
  log: true,
  show: (v: number) => `${Number(v.toPrecision(3))} µm`,
} as const;
const percentAxis = { range: [0, 100] as const, show: (v: number) => `${Number(v.toPrecision(3))} %` };

/** The whole product from the steady balance of grinding zone and classifier wheel, with throughput, yield and energy. Calculated when it is opened. */
export function Grinding() {
  useEffect(goToAwaitedProduct, []);
  return (
    <details
      id={productPart}
      open={isProductOpen.value}
      onToggle={(event) => {
        isProductOpen.value = event.currentTarget.open;
      }}
    >
      <summary>Throughput, yield and energy from the grinding balance</summary>
      {isProductOpen.value && (
        <ErrorBoundary what="The balance">
          <BalanceChoices />
          <AssumedBalance />
          {isWorking.value ? (
            <p aria-live="polite">Fitting the balance to the curves of your trials …</p>
          ) : (
            <BalanceFound />
          )}
        </ErrorBoundary>
      )}
    </details>
  );
}

function BalanceChoices() {
  return (
    <p>
      <Choice
        label="Feed"
        value={feedStage.value}
        options={feedChoices.value}
        say={sayFeed}
        onChange={chooseFeed}
      />
      <Choice
        label="Breakage function"
        value={fragmentKind.value}
        options={["power", "broadbent-callcott"]}
        say={(kind) => (kind === "power" ? "power of z" : "Broadbent and Callcott")}
        onChange={(kind) => {
          fragmentKind.value = kind;
        }}
      />
      <NumberField
        label="Fines below"
        unit="µm"
        value={finesBelowUm.value}
        onChange={(v) => {
          if (v !== null && v > 0) finesBelowUm.value = v;
        }}
      />
      <NumberField
        label="Oversize above"
        unit="µm"
        value={residueAboveUm.value}
        onChange={(v) => {
          if (v !== null && v > 0) residueAboveUm.value = v;
        }}
      />
    </p>
  );
}

const assumptions = [
  ["sharpness", "Sharpness κ"],
  ["fragmentExponent", "Exponent of z"],
  ["rateExponent", "Exponent of breakage rate on size"],
  ["load", "Breakage over feed to the wheel (U)"],
] as const;

/** Where the balance starts from: what it is without whole curves, and weakly pulled to with them. */
function AssumedBalance() {
  const { circuit } = priorsInForce.value;
  return (
    <details>
      <summary>Priors of the balance, used until trials have whole curves</summary>
      <p class="quiet">Assumptions, not measurements: change them where you know better.</p>
      <p>
        {assumptions.map(([name, label]) => (
          <NumberField
            key={name}
            label={label}
            unit=""
            value={circuit[name]}
            onChange={(v) => {
              if (v !== null && v > 0 && (name !== "sharpness" || v < 1))
                enterPriors({ circuit: { ...circuit, [name]: v } });
            }}
          />
        ))}
        <SavePriors />
      </p>
    </details>
  );
}

function BalanceFound() {
  const found = product.value;
  if (found === null)
    return (
      <p class="quiet">
        No balance at this setting: either no D50 is predicted, or no cut size gives it because the feed is
        nearly as fine or the mill grinds too hard.
      </p>
    );
  const xs = geometricSteps(0.1, 100, 181);
  const lines: DrawnLine[] = [
    { key: "finer", label: "", stroke: "edge", values: overlayValues(found.finer, xs, "undersize") },
    { key: "coarser", label: "", stroke: "edge", values: overlayValues(found.coarser, xs, "undersize") },
    {
      key: "feed",
      label: "feed",
      stroke: "stage-1",
      values: overlayValues(feedCurve.value, xs, "undersize"),
      labelAt: 30,
    },
    {
      key: "held",
      label: "hold-up",
      stroke: "stage-2",
      values: overlayValues(found.held, xs, "undersize"),
      labelAt: 85,
    },
    {
      key: "returned",
      label: "returned",
      stroke: "stage-3",
      values: overlayValues(found.returned, xs, "undersize"),
      labelAt: 12,
    },
    {
      key: "product",
      label: "product",
      stroke: "product",
      values: overlayValues(found.product, xs, "undersize"),
      labelAt: 60,
    },
  ];
  const back = xs.map((x) => 100 * found.thrownBack(x));
  return (
    <>
      <p class="lead">{found.sentence}</p>
      <LineChart
        finding={`Feed, hold-up, returned coarse powder and product, by size. ${found.sentence}`}
        height={280}
        x={{ ...sizeAxis, range: [0.1, 100] }}
        y={{ ...percentAxis, label: "% finer" }}
        xs={xs}
        lines={lines}
        fills={[{ highKey: "finer", lowKey: "coarser", ink: "ribbon" }]}
      />
      <h3>Share returned by the wheel</h3>
      <LineChart
        finding={`Share of each size that the wheel returns; 50 % at ${figures(found.cutUm)} µm.`}
        height={200}
        x={{ ...sizeAxis, range: [0.1, 100] }}
        y={{ ...percentAxis, label: "% returned" }}
        xs={xs}
        lines={[{ key: "back", label: "returned", stroke: "median", values: back }]}
      />
      <GrindingNumbers />
      <p class="quiet">
        Checked against exact solutions, not against published mill runs. The median comes from your trials,
        the shape around it from the balance.
      </p>
    </>
  );
}
