import { useLayoutEffect, useRef } from "preact/hooks";
import { chanceText } from "#model/words/wording.ts";
import { ErrorBoundary } from "#ui/parts/errorBoundary.tsx";
import { figures, rpm } from "#ui/parts/format.ts";
import { MapDrawing } from "./inBandMapDrawing.tsx";
import { best, dragTo, here, map, measureMap, setPlace, step, whyNoMap } from "./inBandMapState.ts";
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
