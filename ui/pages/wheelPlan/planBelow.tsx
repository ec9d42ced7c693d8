import { Grinding } from "./grinding.tsx";
import { RefiringTable } from "./refiringTable.tsx";
import { RegressionTable } from "./regressionTable.tsx";
import { TrialTable } from "./trialTable.tsx";

/** What the plan rests on, in tables: trials, the grinding balance, the regression, what re-firing did. */
export function PlanBelow() {
  return (
    <>
      <TrialTable />
      <Grinding />
      <RegressionTable />
      <RefiringTable />
    </>
  );
}
