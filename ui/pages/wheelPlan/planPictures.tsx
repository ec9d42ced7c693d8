import { signal } from "@preact/signals";
import { unbroken } from "#ui/parts/format.ts";
import { InBandMap } from "./inBandMap.tsx";
import { productWords, WheelProduct } from "./wheelProduct.tsx";
import { speedWords, WheelSpeed } from "./wheelSpeed.tsx";

const views = [
  ["curve", "Predicted curve"],
  ["speed", "D50 against speed"],
] as const;

const view = signal<(typeof views)[number][0]>("curve");

/** The curve, or D50 against speed in its place, beside the map: both move with the setting. */
export function PlanPictures() {
  return (
    <div class="plan-pictures">
      <div>
        <div class="plan-picture-head">
          {views.map(([key, name]) => (
            <button
              key={key}
              type="button"
              class="plan-switch"
              aria-pressed={view.value === key}
              onClick={() => {
                view.value = key;
              }}
            >
              {name}
            </button>
          ))}
        </div>
        {view.value === "curve" ? <WheelProduct /> : <WheelSpeed />}
      </div>
      <div>
        <InBandMap />
      </div>
    </div>
  );
}

/** What both pictures show, in words. */
export function PictureWords() {
  return <p class="quiet">{unbroken(view.value === "curve" ? productWords() : speedWords())}</p>;
}
