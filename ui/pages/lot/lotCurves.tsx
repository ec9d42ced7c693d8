import { Overlay } from "#ui/charts/overlay.tsx";
import { looking } from "#ui/data/incoming.ts";
import {
  band,
  checkedWords,
  otherStages,
  overlayView,
  pictureSizes,
  productByVolume,
  stage,
} from "#ui/data/selection.ts";
import { Choice } from "#ui/parts/choice.tsx";
import { later } from "#ui/parts/later.tsx";

const UnderChart = later(
  "the curve",
  async () => (await import("./underChart.tsx")).UnderChart,
  () => <p class="quiet under-chart" />,
);

/** The curve of the stage over its target band, the lot's other stages thin beside it. */
export function LotCurves() {
  const label = looking.value !== null ? "your table" : (stage.value?.stage ?? "");
  const words = checkedWords.value;
  const product = productByVolume.value;
  return (
    <div class="fills">
      <Choice
        label="Show"
        value={overlayView.value}
        options={["undersize", "log density"]}
        onChange={(v) => {
          overlayView.value = v;
        }}
      />
      <Overlay
        finding={words === null ? "Curves of the lot." : `${words.verdict}${words.headline} ${words.more}`}
        height="fill"
        sizesUm={pictureSizes.value}
        view={overlayView.value}
        band={band.value}
        product={product === null ? null : { label, curve: product, isPredicted: false }}
        others={otherStages.value.flatMap((s) =>
          s.curve === null ? [] : [{ label: s.stage, curve: s.curve }],
        )}
      />
      <UnderChart />
    </div>
  );
}
