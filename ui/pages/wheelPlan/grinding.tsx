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
  finesBelowUm,
  fragmentKind,
  isProductOpen,
  isWorking,
  product,
  residueAboveUm,
} from "./product.ts";
import { SavePriors } from "./savePriors.tsx";

const sizeAxis = {
  label: "size, µm",
  log: true,
  show: (v: number) => `${Number(v.toPrecision(3))} µm`,
} as const;
const percentAxis = { range: [0, 100] as const, show: (v: number) => `${Number(v.toPrecision(3))} %` };

const productPart = "whole-product";

/** Opens it and goes there. */
export function showProduct(): void {
  isProductOpen.value = true;
  const part = document.getElementById(productPart);
  part?.scrollIntoView();
  part?.querySelector("summary")?.focus({ preventScroll: true });
}

/** The whole product from the steady balance of grinding zone and wheel, and what it costs. Worked out when it is opened. */
export function Grinding() {
  return (
    <details
      id={productPart}
      open={isProductOpen.value}
      onToggle={(event) => {
        isProductOpen.value = event.currentTarget.open;
      }}
    >
      <summary>The whole product and its cost, by the balance of grinding and wheel</summary>
      {isProductOpen.value && (
        <ErrorBoundary what="The balance">
          <Asked />
          <Assumed />
          {isWorking.value ? (
            <p aria-live="polite">Fitting the balance to your trials' curves …</p>
          ) : (
            <Found />
          )}
        </ErrorBoundary>
      )}
    </details>
  );
}

function Asked() {
  return (
    <p>
      <Choice
        label="What goes in"
        value={feedStage.value}
        options={feedChoices.value}
        onChange={chooseFeed}
      />
      <Choice
        label="Pieces of a break"
        value={fragmentKind.value}
        options={["power", "broadbent-callcott"]}
        say={(kind) => (kind === "power" ? "a power of z" : "Broadbent and Callcott")}
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
        label="Residue above"
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
  ["sharpness", "Sharpness κ assumed"],
  ["fragmentExponent", "Power of z assumed"],
  ["rateExponent", "Breakage goes with size to the power"],
  ["load", "Breakage over offer (U) assumed"],
] as const;

/** Where the balance starts from: what it is without whole curves, and weakly pulled to with them. */
function Assumed() {
  const { circuit } = priorsInForce.value;
  return (
    <details>
      <summary>What is assumed of the balance until whole curves say otherwise</summary>
      <p class="quiet">Judgements, not measurements: change them where you know better.</p>
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

function Found() {
  const found = product.value;
  if (found === null)
    return (
      <p class="quiet">
        No balance: no D50 is predicted at this setting, or no cut of the wheel gives it: what goes in is
        nearly as fine, or the mill grinds too hard.
      </p>
    );
  const xs = geometricSteps(0.1, 100, 181);
  const lines: DrawnLine[] = [
    { key: "finer", label: "", stroke: "edge", values: overlayValues(found.finer, xs, "undersize") },
    { key: "coarser", label: "", stroke: "edge", values: overlayValues(found.coarser, xs, "undersize") },
    {
      key: "feed",
      label: "goes in",
      stroke: "stage-1",
      values: overlayValues(feedCurve.value, xs, "undersize"),
      labelAt: 30,
    },
    {
      key: "held",
      label: "held in the mill",
      stroke: "stage-2",
      values: overlayValues(found.held, xs, "undersize"),
      labelAt: 85,
    },
    {
      key: "returned",
      label: "thrown back",
      stroke: "stage-3",
      values: overlayValues(found.returned, xs, "undersize"),
      labelAt: 12,
    },
    {
      key: "product",
      label: "comes out",
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
        finding={`What goes in, what the mill holds, what the wheel throws back and what comes out, by size. ${found.sentence}`}
        height={280}
        x={{ ...sizeAxis, range: [0.1, 100] }}
        y={{ ...percentAxis, label: "% finer" }}
        xs={xs}
        lines={lines}
        fills={[{ highKey: "finer", lowKey: "coarser", ink: "ribbon" }]}
      />
      <h3>What the wheel throws back</h3>
      <LineChart
        finding={`Share of each size that the wheel throws back; half of it at ${figures(found.cutUm)} µm.`}
        height={200}
        x={{ ...sizeAxis, range: [0.1, 100] }}
        y={{ ...percentAxis, label: "% thrown back" }}
        xs={xs}
        lines={[{ key: "back", label: "thrown back", stroke: "median", values: back }]}
      />
      <GrindingNumbers />
      <p class="quiet">
        Checked against exact solutions, not against published mill runs. The median is your trials'; the
        balance gives the shape about it.
      </p>
    </>
  );
}
