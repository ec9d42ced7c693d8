import type { ComponentChildren } from "preact";
import { useRef, useState } from "preact/hooks";
import { overlaySizesUm } from "#model/pictures/overlay.ts";
import { NumberField } from "./numberField.tsx";

type Range = readonly [number, number];

/**
 * The range of sizes that an overlay shows: typed, or moved along by dragging the picture. What it shows is drawn
 * anew at the sizes of that stretch.
 */
export function SizeWindow(props: {
  /** All there is to see. */
  wholeUm: Range;
  children: (sizesUm: readonly number[]) => ComponentChildren;
}) {
  const { wholeUm, children } = props;
  const [chosen, choose] = useState<Range | null>(null);
  const held = useRef<{ readonly x: number; readonly width: number; readonly from: Range } | null>(null);
  // A mouse speaks more often than the screen shows: only where it stands when a frame comes is drawn.
  const pointerX = useRef<number | null>(null);
  const follow = () => {
    const x = pointerX.current;
    pointerX.current = null;
    if (held.current !== null && x !== null)
      choose(movedAlong(held.current.from, (held.current.x - x) / held.current.width, wholeUm));
  };
  const [fromUm, toUm] = chosen ?? wholeUm;
  return (
    <>
      <p>
        <NumberField
          label="Sizes shown from"
          unit="µm"
          value={Number(fromUm.toPrecision(3))}
          min={0}
          onChange={(um) => um !== null && um > 0 && um < toUm && choose([um, toUm])}
        />
        <NumberField
          label="to"
          fullName="Sizes shown up to"
          unit="µm"
          value={Number(toUm.toPrecision(3))}
          min={fromUm}
          onChange={(um) => um !== null && um > fromUm && choose([fromUm, um])}
        />
        <button type="button" class="small" disabled={chosen === null} onClick={() => choose(null)}>
          Show all sizes
        </button>
      </p>
      <div
        style={{ cursor: "grab", touchAction: "pan-y" }}
        onPointerDown={(event) => {
          const plot = event.currentTarget.querySelector(".u-over");
          if (plot === null || event.button !== 0 || !(event.target === plot)) return;
          event.currentTarget.setPointerCapture(event.pointerId);
          held.current = { x: event.clientX, width: plot.clientWidth, from: [fromUm, toUm] };
        }}
        onPointerMove={(event) => {
          if (held.current === null) return;
          if (pointerX.current === null) requestAnimationFrame(follow);
          pointerX.current = event.clientX;
        }}
        onLostPointerCapture={() => {
          held.current = null;
        }}
      >
        {children(overlaySizesUm([fromUm, toUm]))}
      </div>
    </>
  );
}

/** Moved by a share of its own length in ln size; its middle never leaves what there is to see. */
function movedAlong([from, to]: Range, share: number, [least, most]: Range): Range {
  const middle = Math.sqrt(from * to);
  const asked = middle * (to / from) ** share;
  const factor = Math.min(Math.max(asked, least), most) / middle;
  return [from * factor, to * factor];
}
