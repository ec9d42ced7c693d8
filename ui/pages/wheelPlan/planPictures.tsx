import { signal } from "@preact/signals";
import { later } from "#ui/parts/later.tsx";
import { ViewSwitch } from "#ui/parts/viewSwitch.tsx";
import { InBandMap } from "./inBandMap.tsx";
import { WheelProduct } from "./wheelProduct.tsx";

const WheelSpeed = later("D50 against speed", async () => (await import("./wheelSpeed.tsx")).WheelSpeed);

const views = ["Predicted curve", "D50 against speed"] as const;

export const view = signal<(typeof views)[number]>("Predicted curve");

/** The curve, or D50 against speed in its place, beside the map: both move with the setting. */
export function PlanPictures() {
  return (
    <div class="plan-pictures">
      <div>
        <div class="plan-picture-head">
          <ViewSwitch
            views={views}
            shown={view.value}
            onChange={(name) => {
              view.value = name;
            }}
          />
        </div>
        {view.value === "Predicted curve" ? <WheelProduct /> : <WheelSpeed />}
      </div>
      <div>
        <InBandMap />
      </div>
    </div>
  );
}
