import { itemAt } from "#distributions/lists.ts";
import type { Picture, Point } from "#model/pictures/picture.ts";
import { figures } from "../parts/format.ts";
import { later } from "../parts/later.tsx";
import { FootButtons } from "./footButtons.tsx";
import { hint } from "./lineChartProps.ts";

const ExportDrawing = later("the export", async () => (await import("./exportDrawing.tsx")).ExportDrawing);

/** The part of a picture that is shown, in the picture's units; its height follows from the picture's. */
export interface ShownPart {
  readonly left: number;
  readonly top: number;
  readonly times: number;
}

const closer = 1.5;
const mostTimes = 20;
/** A press that slips is no drag. */
const leastDrag = 8;

/** So that the middle of the part lies at a place, as far as the picture's edges let it. */
export function partAbout({ width, height }: Picture, [x, y]: Point, times: number): ShownPart | null {
  if (times <= 1) return null;
  const held = Math.min(times, mostTimes);
  const within = (middle: number, whole: number) =>
    Math.min(Math.max(middle - whole / held / 2, 0), whole - whole / held);
  return { left: within(x, width), top: within(y, height), times: held };
}

/** What a drag from one place to another shows: the stretch between them over the whole width. */
export function partDragged(picture: Picture, from: Point, to: Point): ShownPart | null {
  const reach = Math.abs(to[0] - from[0]);
  if (reach < leastDrag) return null;
  return partAbout(picture, [(from[0] + to[0]) / 2, (from[1] + to[1]) / 2], picture.width / reach);
}

/** The reading nearest to a place; null where none is near. */
export function nearestReading({ readings = [] }: Picture, [x, y]: Point, reach: number): number | null {
  const apart = readings.map(({ at }) => Math.hypot(at[0] - x, at[1] - y));
  const least = Math.min(...apart);
  return least <= reach ? apart.indexOf(least) : null;
}

interface Now {
  readonly at: number | null;
  readonly setAt: (at: number | null) => void;
  readonly part: ShownPart | null;
  readonly show: (part: ShownPart | null) => void;
}

/** Arrow keys walk from reading to reading, plus and minus magnify about it, Escape shows all. */
export function takePictureKey(event: KeyboardEvent, picture: Picture, { at, setAt, part, show }: Now): void {
  const { readings = [], width, height } = picture;
  if (event.key === "Escape" && part !== null) {
    event.stopPropagation();
    show(null);
  } else if (event.key === "+" || event.key === "-") {
    const place = at === null ? undefined : readings[at]?.at;
    const times = (part?.times ?? 1) * (event.key === "+" ? closer : 1 / closer);
    show(partAbout(picture, place ?? [width / 2, height / 2], times));
  } else if ((event.key === "ArrowRight" || event.key === "ArrowLeft") && readings.length > 0) {
    const step = event.key === "ArrowRight" ? 1 : -1;
    const first = step > 0 ? 0 : readings.length - 1;
    const next = at === null ? first : Math.min(Math.max(at + step, 0), readings.length - 1);
    setAt(next);
    if (part !== null) show(partAbout(picture, itemAt(readings, next).at, part.times));
  } else return;
  event.preventDefault();
}

/** Beside the pointer, or the reading that keys have reached. */
export function PictureTip(props: { picture: Picture; at: number; part: ShownPart | null; scale: number }) {
  const { picture, at, part, scale } = props;
  const reading = picture.readings?.[at];
  if (reading === undefined) return null;
  const times = part?.times ?? 1;
  const left = (reading.at[0] - (part?.left ?? 0)) * times * scale;
  const top = (reading.at[1] - (part?.top ?? 0)) * times * scale;
  const whole = picture.width * scale;
  const side = left > whole / 2 ? { right: `${whole - left + 12}px` } : { left: `${left + 12}px` };
  return (
    <div class="tip" style={{ ...side, top: `${Math.max(top - 16, 0)}px` }} aria-hidden="true">
      <strong>{reading.name}</strong>
      {reading.values.map(({ label, value }) => (
        <div key={label}>
          {label} {figures(value)}
        </div>
      ))}
    </div>
  );
}

/** Below a picture: what it is, what is read out of it, the way back to all of it, and its export. */
export function PictureFoot(props: {
  caption: string;
  picture: Picture;
  draw: (width: number) => Picture | null;
  at: number | null;
  isPart: boolean;
  showAll: () => void;
}) {
  const { caption, picture, draw, at, isPart, showAll } = props;
  const reading = at === null ? undefined : picture.readings?.[at];
  return (
    <div class="chart-foot quiet">
      <figcaption>
        {caption} {isPart ? "A part is shown; a double press or Escape shows all." : hint}
        <span class="unseen" aria-live="polite">
          {reading === undefined
            ? ""
            : [reading.name, ...reading.values.map(({ label, value }) => `${label} ${figures(value)}`)].join(
                " · ",
              )}
        </span>
      </figcaption>
      <FootButtons isPart={isPart} showAll={showAll}>
        <ExportDrawing draw={draw} picture={picture} />
      </FootButtons>
    </div>
  );
}
