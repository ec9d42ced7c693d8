import { useLayoutEffect, useRef } from "preact/hooks";
import type { MapMark } from "#model/pictures/inBandMap.ts";
import { chanceText } from "#model/words/wording.ts";
import { ErrorBoundary } from "#ui/parts/errorBoundary.tsx";
import { figures, rpm, unbroken } from "#ui/parts/format.ts";
import { Wide } from "#ui/parts/wide.tsx";
import { best, here, map, mapTable, mapWidth, next, whyNoMap } from "./inBandMapState.ts";
import { setFlow, setSpeed } from "./wheelEntries.ts";

/** Chance of being in band over wheel speed and gas flow, with the best setting and the next trial. */
export function InBandMap() {
  return (
    <ErrorBoundary what="The map">
      <h2>Chance of being in band, over speed and gas flow</h2>
      {whyNoMap.value === null ? (
        <>
          <p class="lead">{unbroken(words())}</p>
          <Picture />
          <Table />
        </>
      ) : (
        <p class="quiet">{whyNoMap.value}</p>
      )}
    </ErrorBoundary>
  );
}

function words(): string {
  const b = best.value;
  const n = next.value;
  const likeliest =
    b === null
      ? ""
      : `Highest chance of being in band: ${chanceText(b.probability)} at ${rpm(b.speedRpm)} and ${figures(b.flowM3PerH)} m³/h. `;
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
    const measure = () => {
      mapWidth.value = Math.max(260, Math.min(box.clientWidth, 900));
    };
    measure();
    const observer = new ResizeObserver(measure);
    observer.observe(box);
    return () => observer.disconnect();
  }, []);
  const m = map.value;
  const b = best.value;
  return (
    <figure class="chart" ref={holder}>
      {m !== null && <MapDrawing map={m} />}
      <figcaption class="quiet">
        Small circles: trials. Large circle: setting of the plan. Diamond: highest chance. Triangle: next
        trial.
      </figcaption>
      {b !== null && (
        <button
          type="button"
          onClick={() => {
            setSpeed(Math.round(b.speedRpm));
            setFlow(Math.round(b.flowM3PerH));
          }}
        >
          Set speed and flow to the highest chance
        </button>
      )}
    </figure>
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
      {m.marks.map((mark) => (
        <Mark key={`${mark.kind}${mark.x}${mark.y}`} mark={mark} />
      ))}
      <Here />
    </svg>
  );
}

function Mark({ mark }: { mark: MapMark }) {
  const { x, y, kind, label, side } = mark;
  const name = label !== "" && (
    <text
      x={side === "left" ? x - 10 : x + 10}
      y={y + 17}
      text-anchor={side === "left" ? "end" : "start"}
      class="name"
    >
      {label}
    </text>
  );
  return (
    <g>
      {kind === "trial" && <circle cx={x} cy={y} r="3.5" class="mark" />}
      {kind === "here" && <circle cx={x} cy={y} r="8" class="mark here" />}
      {kind === "best" && (
        <path d={`M${x} ${y - 7}L${x + 7} ${y}L${x} ${y + 7}L${x - 7} ${y}Z`} class="mark full" />
      )}
      {kind === "next" && <path d={`M${x} ${y - 7}L${x + 7} ${y + 6}L${x - 7} ${y + 6}Z`} class="mark" />}
      {name}
    </g>
  );
}

function Here() {
  return here.value === null ? null : <Mark mark={here.value} />;
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
