import { useLayoutEffect, useRef, useState } from "preact/hooks";
import { chanceText } from "#model/words/wording.ts";
import { ErrorBoundary } from "#ui/parts/errorBoundary.tsx";
import { figures, rpm } from "#ui/parts/format.ts";
import { later } from "#ui/parts/later.tsx";
import { MapDrawing } from "./inBandMapDrawing.tsx";
import { best, dragTo, here, map, measureMap, readAt, setPlace, step, whyNoMap } from "./inBandMapState.ts";
import { flowM3PerH, plan, slider, speedRpm } from "./wheel.ts";

const ExportMap = later("the export", async () => (await import("./exportMap.tsx")).ExportMap);

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
  const [isExporting, setExporting] = useState(false);
  const m = map.value;
  return (
    <figure class="chart" ref={holder}>
      {m !== null && <Draggable map={m} />}
      <div class="chart-foot quiet">
        <figcaption>
          Drag the point, or use the arrow keys. Circles: trials. Diamond: highest chance. Triangle: next
          trial.
        </figcaption>
        <span class="no-print">
          {isExporting && <ExportMap />}
          <button
            type="button"
            class="small"
            aria-expanded={isExporting}
            onClick={() => setExporting(!isExporting)}
          >
            Export this map
          </button>
        </span>
      </div>
    </figure>
  );
}

/** The map under a point that a pointer drags: pressed anywhere on the map, the point comes there. */
function Draggable({ map: m }: { map: NonNullable<typeof map.value> }) {
  const place = useRef<HTMLDivElement>(null);
  const [tip, setTip] = useState<{ readonly x: number; readonly y: number; readonly says: string } | null>(
    null,
  );
  const follow = (event: PointerEvent) => {
    const box = place.current?.getBoundingClientRect();
    if (box === undefined || box.width === 0) return;
    const scale = m.width / box.width;
    const [x, y] = [event.clientX - box.left, event.clientY - box.top];
    if (event.currentTarget instanceof Element && event.currentTarget.hasPointerCapture(event.pointerId)) {
      setTip(null);
      dragTo(x * scale, y * scale);
      return;
    }
    const says = readAt(x * scale, y * scale);
    setTip(says === null ? null : { x, y, says });
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
      onPointerMove={follow}
      onPointerLeave={() => setTip(null)}
    >
      <MapDrawing map={m} />
      <Here width={m.width} height={m.height} />
      {tip !== null && (
        <div
          class="tip"
          style={{
            [tip.x > m.width / 2 ? "right" : "left"]:
              `${tip.x > m.width / 2 ? m.width - tip.x + 12 : tip.x + 12}px`,
            top: `${tip.y}px`,
          }}
          aria-hidden="true"
        >
          {tip.says}
        </div>
      )}
    </div>
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
