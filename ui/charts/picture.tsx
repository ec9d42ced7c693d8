import { useLayoutEffect, useRef, useState } from "preact/hooks";
import type { Picture, PictureMark, Point } from "#model/pictures/picture.ts";
import { pointsText } from "#model/pictures/pictureSvg.ts";
import {
  nearestReading,
  PictureFoot,
  PictureTip,
  partDragged,
  type ShownPart,
  takePictureKey,
} from "./pictureTools.tsx";

const least = 260;
const most = 1360;
/** A reading so near to the pointer, in pixels, is read out. */
const nearPx = 48;

/**
 * A picture of marks, drawn for the width there is, so that its words keep their size. What is nearest to the pointer is
 * read out, as arrow keys walk along; dragging, or plus and minus, magnify a part, and a double press or Escape show all.
 */
export function PictureFigure(props: { draw: (width: number) => Picture | null; caption?: string }) {
  const { draw, caption = "" } = props;
  const holder = useRef<HTMLElement>(null);
  const [width, setWidth] = useState(720);
  useLayoutEffect(() => {
    const box = holder.current;
    if (box === null) return;
    const measure = () => setWidth(Math.max(least, Math.min(box.clientWidth, most)));
    measure();
    const observer = new ResizeObserver(measure);
    observer.observe(box);
    return () => observer.disconnect();
  }, []);
  const picture = draw(width);
  return (
    <figure class="chart" ref={holder}>
      {picture === null ? (
        caption !== "" && <figcaption class="quiet">{caption}</figcaption>
      ) : (
        <Readable picture={picture} draw={draw} caption={caption} />
      )}
    </figure>
  );
}

function Readable(props: { picture: Picture; draw: (width: number) => Picture | null; caption: string }) {
  const { picture, draw, caption } = props;
  const box = useRef<HTMLDivElement>(null);
  const pressed = useRef<Point | null>(null);
  const [at, setAt] = useState<number | null>(null);
  const [part, show] = useState<ShownPart | null>(null);
  const [dragged, setDragged] = useState<readonly [Point, Point] | null>(null);
  const times = part?.times ?? 1;
  const scale = (box.current?.clientWidth ?? picture.width) / picture.width;
  const placeOf = (event: MouseEvent): Point => {
    const edges = box.current?.getBoundingClientRect();
    const inUnits = (px: number, from: number) => from + px / (times * scale);
    return edges === undefined
      ? [0, 0]
      : [
          inUnits(event.clientX - edges.left, part?.left ?? 0),
          inUnits(event.clientY - edges.top, part?.top ?? 0),
        ];
  };
  return (
    <>
      <div
        ref={box}
        class="picture-box"
        style={{ maxWidth: `${picture.width}px` }}
        role="img"
        aria-label={picture.name}
        // biome-ignore lint/a11y/noNoninteractiveTabindex: the arrow keys read values out
        tabIndex={0}
        onKeyDown={(event) => takePictureKey(event, picture, { at, setAt, part, show })}
        onPointerDown={(event) => {
          // A finger that slides scrolls the page.
          if (event.button !== 0 || event.pointerType === "touch") return;
          event.currentTarget.setPointerCapture(event.pointerId);
          pressed.current = placeOf(event);
        }}
        onPointerMove={(event) => {
          const place = placeOf(event);
          setAt(nearestReading(picture, place, nearPx / (times * scale)));
          if (pressed.current !== null) setDragged([pressed.current, place]);
        }}
        onPointerUp={(event) => {
          const wanted =
            pressed.current === null ? null : partDragged(picture, pressed.current, placeOf(event));
          if (wanted !== null) show(wanted);
        }}
        onLostPointerCapture={() => {
          pressed.current = null;
          setDragged(null);
        }}
        onPointerLeave={() => setAt(null)}
        onDblClick={() => show(null)}
      >
        <Drawn picture={picture} part={part} dragged={dragged} />
        {at !== null && <PictureTip picture={picture} at={at} part={part} scale={scale} />}
      </div>
      <PictureFoot
        caption={caption}
        picture={picture}
        draw={draw}
        at={at}
        isPart={part !== null}
        showAll={() => show(null)}
      />
    </>
  );
}

/** The marks, of which a part is magnified while letters, lines and dots keep their size. */
function Drawn(props: { picture: Picture; part: ShownPart | null; dragged: readonly [Point, Point] | null }) {
  const { picture, part, dragged } = props;
  const { width, height } = picture;
  const times = part?.times ?? 1;
  return (
    <svg
      class="picture"
      viewBox={`${part?.left ?? 0} ${part?.top ?? 0} ${width / times} ${height / times}`}
      width={width}
      height={height}
      aria-hidden="true"
      {...(part === null ? {} : { style: { "--times": times } })}
    >
      {picture.marks.map((mark, i) => (
        <Mark key={i} mark={mark} times={times} />
      ))}
      {dragged !== null && (
        <rect
          class="dragged"
          x={Math.min(dragged[0][0], dragged[1][0])}
          y={part?.top ?? 0}
          width={Math.abs(dragged[1][0] - dragged[0][0])}
          height={height / times}
        />
      )}
    </svg>
  );
}

function Mark({ mark, times }: { mark: PictureMark; times: number }) {
  if (mark.kind === "words") {
    const [x, y] = mark.at;
    return (
      <text
        x={x}
        y={y}
        text-anchor={mark.anchor}
        {...(mark.isUpright === true ? { transform: `rotate(-90 ${x} ${y})` } : {})}
        {...(mark.isFirm === true ? { class: "firm" } : {})}
      >
        {mark.text}
      </text>
    );
  }
  if (mark.kind === "dot")
    return <circle cx={mark.at[0]} cy={mark.at[1]} r={mark.radius / times} class={mark.look} />;
  const points = pointsText(mark.points);
  return mark.kind === "line" ? (
    <polyline points={points} class={`line ${mark.look}`} />
  ) : (
    <polygon points={points} class={mark.look} />
  );
}
