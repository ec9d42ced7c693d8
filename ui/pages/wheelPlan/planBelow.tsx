import { TrialTable } from "#ui/pages/equipment/trialTable.tsx";
import { Grinding } from "./grinding.tsx";
import { InBandMapWords } from "./inBandMapWords.tsx";
import { outlierLot } from "./outlierLot.ts";
import { PlanCost } from "./planCost.tsx";
import { includeLot } from "./priors.ts";
import { RefiringTable } from "./refiringTable.tsx";
import { RegressionTable } from "./regressionTable.tsx";
import { steadyMovedTrials } from "./wheel.ts";

/** What the plan rests on, in tables: trials, the grinding balance, the regression, what re-firing did. */
export function PlanBelow() {
  return (
    <>
      <OutlierLot />
      <InBandMapWords />
      <TrialTable fitted={steadyMovedTrials.value} />
      <PlanCost />
      <Grinding />
      <RegressionTable />
      <RefiringTable />
    </>
  );
}

/** Excluding a lot that re-firing changed differently tightens the prediction. */
function OutlierLot() {
  const { value: lot } = outlierLot;
  return lot === null ? null : (
    <p>
      <button type="button" onClick={() => includeLot(lot.id, false)}>
        Exclude {lot.name}, an outlier on re-firing
      </button>
    </p>
  );
}
