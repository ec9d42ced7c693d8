import { TrialTable } from "#ui/pages/equipment/trialTable.tsx";
import { Grinding } from "./grinding.tsx";
import { InBandMapWords } from "./inBandMapWords.tsx";
import { PlanCost } from "./planCost.tsx";
import { RefiringTable } from "./refiringTable.tsx";
import { RegressionTable } from "./regressionTable.tsx";
import { steadyMovedTrials } from "./wheel.ts";

/** What the plan rests on, in tables: trials, the grinding balance, the regression, what re-firing did. */
export function PlanBelow() {
  return (
    <>
      <InBandMapWords />
      <TrialTable fitted={steadyMovedTrials.value} />
      <PlanCost />
      <Grinding />
      <RegressionTable />
      <RefiringTable />
    </>
  );
}
