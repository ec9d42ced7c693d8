import { outsideText } from "#model/answers/lot/verdictSentence.ts";
import { band, check, overlayView } from "#ui/data/selection.ts";
import { figures, unbroken } from "#ui/parts/format.ts";

/** What the picture's area means, and where the curve lies outside it. */
export function UnderChart() {
  const isUndersize = overlayView.value === "undersize";
  const hasEnvelope = band.value?.envelope != null;
  return (
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
  );
}
