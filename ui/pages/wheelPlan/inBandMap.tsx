import { useLayoutEffect, useRef } from "preact/hooks";
import type { MapMark } from "#model/pictures/inBandMap.ts";
import { chanceText } from "#model/words/wording.ts";
import { mill } from "#ui/data/mill.ts";
import { ErrorBoundary } from "#ui/parts/errorBoundary.tsx";
import { figures, rpm, unbroken } from "#ui/parts/format.ts";
import { Wide } from "#ui/parts/wide.tsx";
import {
  best,
  dragTo,
  here,
  map,
  mapTable,
  measureMap,
  next,
  setPlace,
  settable,
  step,
  whyNoMap,
} from "./inBandMapState.ts";
import { flowM3PerH, plan, slider, speedRpm } from "./wheel.ts";

/** Chance of being in band over wheel speed and gas flow; the plan's setting is dragged on it, or moved with the arrow keys. */
export function InBandMap() {
  const b = best.value;
  return (
    <ErrorBoundary what="The map">
      <div class="plan-picture-head">
        <h2>Chance of being in band</h2>
        {b !== null && whyNoMap.value === null && (
          <button type="button" class="small" onClick={() => setPlace(b)}>
            Set speed and flow to the highest chance
          </button>
        )}
      </div>
      {whyNoMap.value === null ? <Picture /> : <p class="quiet">{whyNoMap.value}</p>}
    </ErrorBoundary>
  );
}

/** What the map shows, in words and as a table. */
export function InBandMapWords() {
  return whyNoMap.value === null ? (
    <>
      <p class="lead">{unbroken(words())}</p>
      <Table />
    </>
  ) : null;
}

function words(): string {
  const b = best.value;
  const n = next.value;
  // Said as the button sets it.
  const to = b === null ? null : settable(b);
  const likeliest =
    b === null || to === null
      ? ""
      : `Highest chance of being in band: ${chanceText(b.probability)} at ${rpm(to.speedRpm)} and ${figures(to.flowM3PerH)} m³/h. `;
  const teaching =
    n === null
      ? ""
      : n.isWorth
        ? `Most informative next trial: ${rpm(n.speedRpm)} and ${figures(n.flowM3PerH)} m³/h; it would reduce the uncertainty of the fitted D50 there to ${Math.round(100 * n.narrowing)} % of today's (run-to-run scatter excluded).`
        : "No single next trial stands out: trials spread evenly over the permitted speeds are about as informative.";
  return `${likeliest}${teaching}`;
}

function Picture() {
  const holder = useRef<HTMLDivElement>(null);
  useLayoutEffect(() => {
    const box = holder.current;
    if (box === null) return;
    const measure = () => measureMap(box.clientWidth);
    measure();
    const observer = new ResizeObserver(measure);
    observer.observe(box);
    return () => observer.disconnect();
  }, []);
  const m = map.value;
  return (
    <figure class="chart" ref={holder}>
      {m !== null && <Draggable map={m} />}
      <figcaption class="quiet">
        Drag the filled point, or focus it and use the arrow keys. Small circles: trials. Diamond: highest
        chance. Triangle: next trial.
      </figcaption>
    </figure>
  );
}

/** The map under a point that a pointer drags: pressed anywhere on the map, the point comes there. */
function Draggable({ map: m }: { map: NonNullable<typeof map.value> }) {
  const place = useRef<HTMLDivElement>(null);
  const follow = (event: PointerEvent) => {
    const box = place.current?.getBoundingClientRect();
    if (box === undefined || box.width === 0) return;
    const scale = m.width / box.width;
    dragTo((event.clientX - box.left) * scale, (event.clientY - box.top) * scale);
  };
  return (
    <div
      ref={place}
      class="plan-map"
      onPointerDown={(event) => {
        if (event.button !== 0) return;
        event.preventDefault();
        event.currentTarget.setPointerCapture(event.pointerId);
        event.currentTarget.querySelector<HTMLElement>("[role=slider]")?.focus({ preventScroll: true });
        follow(event);
      }}
      onPointerMove={(event) => {
        if (event.currentTarget.hasPointerCapture(event.pointerId)) follow(event);
      }}
    >
      <MapDrawing map={m} />
      <Here width={m.width} height={m.height} />
    </div>
  );
}

/** Contours of the chance, axes, rated speed and marks. */
function MapDrawing({ map: m }: { map: NonNullable<typeof map.value> }) {
  return (
    <svg class="map" viewBox={`0 0 ${m.width} ${m.height}`} role="img" aria-label={words()}>
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

const arrows: Readonly<Record<string, readonly [across: number, up: number]>> = {
  ArrowLeft: [-1, 0],
  ArrowRight: [1, 0],
  ArrowUp: [0, 1],
  ArrowDown: [0, -1],
};

/** Where the plan stands: only this moves over the map. */
function Here({ width, height }: { width: number; height: number }) {
  const mark = here.value;
  if (mark === null) return null;
  const says = `${rpm(speedRpm.value)} and ${figures(flowM3PerH.value)} m³/h`;
  const chance = plan.value?.inBand?.probability ?? null;
  return (
    <div
      class="plan-here"
      role="slider"
      tabIndex={0}
      aria-label="Setting on the map: arrow keys left and right for speed, up and down for gas flow"
      aria-valuenow={speedRpm.value}
      aria-valuemin={slider.value.min}
      aria-valuemax={slider.value.max}
      aria-valuetext={chance === null ? says : `${says}, ${chanceText(chance)} chance of being in band`}
      style={{ left: `${(100 * mark.x) / width}%`, top: `${(100 * mark.y) / height}%` }}
      onKeyDown={(event) => {
        const [across, up] = arrows[event.key] ?? [0, 0];
        if (across === 0 && up === 0) return;
        event.preventDefault();
        const by = event.shiftKey ? 10 : 1;
        step(by * across, by * up);
      }}
    />
  );
}

function Table() {
  const t = mapTable.value;
  if (t === null) return null;
  return (
    <details>
      <summary>Map as a table</summary>
      <Wide name="Chance of being in band">
        <table>
          <caption class="quiet">Chance of being in band, by gas flow in m³/h and speed in rpm</caption>
          <thead>
            <tr>
              <th scope="col">m³/h</th>
              {t.speeds.map((s) => (
                <th scope="col" key={s}>
                  {Math.round(s).toLocaleString("en-GB")}
                </th>
              ))}
            </tr>
          </thead>
          <tbody>
            {t.rows.map((r) => (
              <tr key={r.flow}>
                <th scope="row">{figures(r.flow)}</th>
                {r.chances.map((c, i) => (
                  <td class="number" key={t.speeds[i]}>
                    {chanceText(c)}
                  </td>
                ))}
              </tr>
            ))}
          </tbody>
        </table>
      </Wide>
    </details>
  );
}
