import { outsideText } from "#model/answers/lot/checkWords.ts";
import { Overlay } from "#ui/charts/overlay.tsx";
import { looking } from "#ui/data/incoming.ts";
import {
  band,
  check,
  checkedWords,
  otherStages,
  overlayView,
  pictureSizes,
  productByVolume,
  stage,
} from "#ui/data/selection.ts";
import { Choice } from "#ui/parts/choice.tsx";
import { figures, unbroken } from "#ui/parts/format.ts";

/** The curve of the stage over its target band, the lot's other stages thin beside it. */
export function LotCurves() {
  const label = looking.value !== null ? "your table" : (stage.value?.stage ?? "");
  const words = checkedWords.value;
  const isUndersize = overlayView.value === "undersize";
  const product = productByVolume.value;
  const hasEnvelope = band.value?.envelope != null;
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
      <p class="quiet under-chart">
        {isUndersize &&
          hasEnvelope &&
          `Sand-coloured area: target band${band.value?.envelopeUse === "shown" ? ", not judged" : ""}. `}
        {!isUndersize &&
          "Volume share in each measured class per unit of ln size. The band limits the undersize curve, so it is not drawn here."}
        {isUndersize &&
          unbroken(
            (check.value?.outside ?? [])
              .map((o) => `Outside it, ${figures(o.fromUm)}–${figures(o.toUm)} µm: ${outsideText(o)}.`)
              .join(" "),
          )}
      </p>
    </div>
  );
}
