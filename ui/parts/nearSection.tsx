import type { ComponentType } from "preact";
import { useEffect, useRef, useState } from "preact/hooks";

interface NearSectionProps {
  /** Left out where what it holds brings headings of its own. */
  readonly heading?: string;
  readonly id?: string;
  readonly of: ComponentType;
}

/** A section under its heading. What it holds is fetched and worked out when one comes near it. */
export function NearSection({ heading, id, of: View }: NearSectionProps) {
  const place = useRef<HTMLElement>(null);
  const [isNear, setNear] = useState(false);
  useEffect(() => {
    if (place.current === null || isNear) return;
    const watch = new IntersectionObserver((seen) => setNear(seen.some((s) => s.isIntersecting)));
    watch.observe(place.current);
    return () => watch.disconnect();
  }, [isNear]);
  return (
    <section ref={place} id={id} class={isNear ? "" : "soon"}>
      {heading !== undefined && <h2>{heading}</h2>}
      {isNear && <View />}
    </section>
  );
}
