import type { MapMark } from "#model/pictures/inBandMap.ts";
import { mill } from "#ui/data/mill.ts";
import type { map } from "./inBandMapState.ts";
import { mapWords } from "./inBandMapWords.tsx";

/** Contours of the chance, axes, rated speed and marks. */
export function MapDrawing({ map: m }: { map: NonNullable<typeof map.value> }) {
  return (
    <svg class="map" viewBox={`0 0 ${m.width} ${m.height}`} role="img" aria-label={mapWords()}>
      {m.contours.map((c) => (
        <path key={`g${c.level}`} d={c.ground} class="ground" />
      ))}
      {m.contours.map((c) => (
        <path key={`l${c.level}`} d={c.line} class="contour" />
      ))}
      <rect
        x={m.frame.left}
        y={m.frame.top}
        width={m.frame.right - m.frame.left}
        height={m.frame.bottom - m.frame.top}
        class="frame"
      />
      {m.xTicks.map((t) => (
        <text key={t.label} x={t.at} y={m.frame.bottom + 16} text-anchor="middle">
          {t.label}
        </text>
      ))}
      {m.yTicks.map((t) => (
        <text key={t.label} x={m.frame.left - 8} y={t.at + 4} text-anchor="end">
          {t.label}
        </text>
      ))}
      <text x={(m.frame.left + m.frame.right) / 2} y={m.height - 6} text-anchor="middle">
        wheel speed, rpm
      </text>
      <text
        transform={`translate(14 ${(m.frame.top + m.frame.bottom) / 2}) rotate(-90)`}
        text-anchor="middle"
      >
        gas flow, m³/h
      </text>
      {m.ratedAt !== null && (
        <line x1={m.ratedAt} x2={m.ratedAt} y1={m.frame.top} y2={m.frame.bottom} class="wall" />
      )}
      {m.contours.map(
        (c) =>
          c.labelAt !== null && (
            <text key={`t${c.level}`} x={c.labelAt.x} y={c.labelAt.y + 4} text-anchor="middle" class="name">
              {c.label}
            </text>
          ),
      )}
      {m.ratedAt !== null && (
        <text x={m.ratedAt - 8} y={m.frame.bottom - 8} text-anchor="end" class="name">
          {ratedWords()}
        </text>
      )}
      {m.marks.map((mark) => (
        <Mark key={`${mark.kind}${mark.x}${mark.y}`} mark={mark} />
      ))}
    </svg>
  );
}

function ratedWords(): string {
  const rated = mill.value?.mill.ratedSpeedRpm ?? null;
  return rated === null ? "" : `rated ${rated.toLocaleString("en-GB")}`;
}

function Mark({ mark }: { mark: MapMark }) {
  const { x, y, kind, label, side, labelDown } = mark;
  const name = label !== "" && (
    <text
      x={side === "left" ? x - 10 : x + 10}
      y={y + labelDown}
      text-anchor={side === "left" ? "end" : "start"}
      class="name"
    >
      {label}
    </text>
  );
  return (
    <g>
      {kind === "trial" && <circle cx={x} cy={y} r="3.5" class="mark" />}
      {kind === "best" && (
        <path d={`M${x} ${y - 7}L${x + 7} ${y}L${x} ${y + 7}L${x - 7} ${y}Z`} class="mark full" />
      )}
      {kind === "next" && <path d={`M${x} ${y - 7}L${x + 7} ${y + 6}L${x - 7} ${y + 6}Z`} class="mark" />}
      {name}
    </g>
  );
}
