import { useLayoutEffect, useRef, useState } from "preact/hooks";
import type { Picture, PictureMark } from "#model/pictures/picture.ts";
import { pointsText } from "#model/pictures/pictureSvg.ts";

const least = 260;
const most = 900;

/** A picture of marks, drawn for the width there is, so that its words keep their size. */
export function PictureFigure(props: { draw: (width: number) => Picture | null; caption?: string }) {
  const { draw, caption } = props;
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
      {picture !== null && (
        <svg
          class="picture"
          viewBox={`0 0 ${picture.width} ${picture.height}`}
          width={picture.width}
          role="img"
          aria-label={picture.name}
        >
          {picture.marks.map((mark, i) => (
            <Mark key={i} mark={mark} />
          ))}
        </svg>
      )}
      {caption !== undefined && <figcaption class="quiet">{caption}</figcaption>}
    </figure>
  );
}

function Mark({ mark }: { mark: PictureMark }) {
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
    return <circle cx={mark.at[0]} cy={mark.at[1]} r={mark.radius} class={mark.look} />;
  const points = pointsText(mark.points);
  return mark.kind === "line" ? (
    <polyline points={points} class={`line ${mark.look}`} />
  ) : (
    <polygon points={points} class={mark.look} />
  );
}
