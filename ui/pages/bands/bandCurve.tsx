import { useState } from "preact/hooks";
import { bentEnvelope, type EnvelopeSide } from "#model/band/bentEnvelope.ts";
import type { Envelope } from "#model/band/envelope.ts";
import { decadeTicks, plainDecimal } from "#model/pictures/scale.ts";
import { figures } from "#ui/parts/format.ts";
import { NumberField } from "#ui/parts/numberField.tsx";
import { addStyles } from "#ui/parts/styles.ts";
import css from "./bands.css?inline";

const [width, height] = [480, 300];
const frame = { left: 50, right: 470, top: 10, bottom: 266 };
const maxHandles = 7;
const sideWords: Readonly<Record<EnvelopeSide, string>> = { lowShares: "at least", highShares: "at most" };
const sides: readonly EnvelopeSide[] = ["lowShares", "highShares"];
/** A press of an arrow key moves a handle by so much. */
const stepShare = 0.005;

/** The limits on the curve as a picture with handles to drag or to move with the arrow keys, and the same as fields. */
export function BandCurve({ envelope, onChange }: { envelope: Envelope; onChange: (e: Envelope) => void }) {
  addStyles(css);
  const [chosen, setChosen] = useState(0);
  const { sizesUm } = envelope;
  const places = handlePlaces(sizesUm.length);
  const at = places[Math.min(chosen, places.length - 1)] ?? 0;
  const reach = (places[1] ?? 1) - (places[0] ?? 0);
  const from = Math.log(sizesUm[0] ?? 1);
  const to = Math.log(sizesUm.at(-1) ?? 2);
  const x = (sizeUm: number) =>
    frame.left + ((Math.log(sizeUm) - from) / Math.max(to - from, 1e-9)) * (frame.right - frame.left);
  const y = (share: number) => frame.bottom - share * (frame.bottom - frame.top);
  const line = (side: EnvelopeSide) =>
    sizesUm.map((s, i) => `${x(s).toFixed(1)},${y(envelope[side][i] ?? 0).toFixed(1)}`);
  const move = (side: EnvelopeSide, index: number, share: number) =>
    onChange(bentEnvelope(envelope, { side, index, reach }, share));
  return (
    <section aria-label="Limits on the curve">
      <svg class="picture band-curve" viewBox={`0 0 ${width} ${height}`}>
        <title>Limits on the curve</title>
        {[0, 25, 50, 75, 100].map((p) => (
          <g key={p}>
            <path class="line grid" d={`M${frame.left} ${y(p / 100)}H${frame.right}`} />
            <text x={frame.left - 6} y={y(p / 100) + 4} text-anchor="end">
              {p}
            </text>
          </g>
        ))}
        {decadeTicks(Math.exp(from), Math.exp(to)).map((um) => (
          <g key={um}>
            <path class="line grid" d={`M${x(um)} ${frame.bottom}v4`} />
            <text x={x(um)} y={frame.bottom + 16} text-anchor="middle">
              {plainDecimal(um)}
            </text>
          </g>
        ))}
        <text x={(frame.left + frame.right) / 2} y={height - 2} text-anchor="middle">
          size, µm
        </text>
        <text transform={`translate(12 ${(frame.top + frame.bottom) / 2}) rotate(-90)`} text-anchor="middle">
          % finer
        </text>
        <polygon class="ground" points={[...line("highShares"), ...line("lowShares").reverse()].join(" ")} />
        {sides.flatMap((side) =>
          places.map((index, k) => (
            <Handle
              key={`${side} ${index}`}
              label={`${sideWords[side]}, at ${figures(sizesUm[index] ?? 1)} µm`}
              x={x(sizesUm[index] ?? 1)}
              y={y(envelope[side][index] ?? 0)}
              share={envelope[side][index] ?? 0}
              shareAt={(top) => (frame.bottom - top) / (frame.bottom - frame.top)}
              onFocus={() => setChosen(k)}
              onMove={(share) => move(side, index, share)}
            />
          )),
        )}
      </svg>
      <p>
        At {figures(sizesUm[at] ?? null)} µm finer:{" "}
        {sides.map((side) => (
          <NumberField
            key={`${side} ${at}`}
            label={sideWords[side]}
            fullName={`Curve at ${figures(sizesUm[at] ?? null)} µm, ${sideWords[side]}`}
            unit="%"
            min={0}
            max={100}
            value={Number((100 * (envelope[side][at] ?? 0)).toPrecision(4))}
            onChange={(v) => {
              if (v !== null && v >= 0 && v <= 100) move(side, at, v / 100);
            }}
          />
        ))}
        <br />
        <span class="quiet">Drag a point, or move it with the arrow keys; the fields follow.</span>
      </p>
    </section>
  );
}

/** Where handles stand: spread over the sizes, the first and the last among them. */
function handlePlaces(count: number): readonly number[] {
  const many = Math.min(count, maxHandles);
  return Array.from({ length: many }, (_, k) => Math.round((k * (count - 1)) / Math.max(many - 1, 1)));
}

function Handle(props: {
  label: string;
  x: number;
  y: number;
  share: number;
  shareAt: (top: number) => number;
  onFocus: () => void;
  onMove: (share: number) => void;
}) {
  const { label, x, y, share, shareAt, onFocus, onMove } = props;
  return (
    <circle
      class="handle"
      cx={x}
      cy={y}
      r="6"
      role="slider"
      tabIndex={0}
      aria-label={label}
      aria-orientation="vertical"
      aria-valuemin={0}
      aria-valuemax={100}
      aria-valuenow={Number((100 * share).toPrecision(3))}
      aria-valuetext={`${figures(100 * share)} % finer`}
      onFocus={onFocus}
      onKeyDown={(event) => {
        const step = event.key === "ArrowUp" ? 1 : event.key === "ArrowDown" ? -1 : 0;
        if (step === 0) return;
        event.preventDefault();
        onMove(share + step * stepShare * (event.shiftKey ? 10 : 1));
      }}
      onPointerDown={(event) => {
        event.currentTarget.setPointerCapture(event.pointerId);
        event.currentTarget.focus();
      }}
      onPointerMove={(event) => {
        const { currentTarget: mark, pointerId, clientY } = event;
        const box = mark.ownerSVGElement?.getBoundingClientRect();
        if (box === undefined || !mark.hasPointerCapture(pointerId)) return;
        onMove(shareAt(((clientY - box.top) / box.height) * height));
      }}
    />
  );
}
