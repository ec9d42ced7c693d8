import { signal } from "@preact/signals";
import { unbroken } from "#ui/parts/format.ts";
import { ViewSwitch } from "#ui/parts/viewSwitch.tsx";
import { InBandMap } from "./inBandMap.tsx";
import { productWords, WheelProduct } from "./wheelProduct.tsx";
import { speedWords, WheelSpeed } from "./wheelSpeed.tsx";

const views = ["Predicted curve", "D50 against speed"] as const;

const view = signal<(typeof views)[number]>("Predicted curve");

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

/** What both pictures show, in words. */
export function PictureWords() {
  return <p class="quiet">{unbroken(view.value === "Predicted curve" ? productWords() : speedWords())}</p>;
}
