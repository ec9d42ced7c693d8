import type { ComponentType } from "preact";
import { useEffect, useRef, useState } from "preact/hooks";

/** A section under its heading. What it holds is fetched and worked out when one comes near it. */
export function NearSection({ heading, of: View }: { heading: string; of: ComponentType }) {
  const place = useRef<HTMLElement>(null);
  const [isNear, setNear] = useState(false);
  useEffect(() => {
    if (place.current === null || isNear) return;
    const watch = new IntersectionObserver((seen) => setNear(seen.some((s) => s.isIntersecting)));
    watch.observe(place.current);
    return () => watch.disconnect();
  }, [isNear]);
  return (
    <section ref={place} class={isNear ? "" : "soon"}>
      <h2>{heading}</h2>
      {isNear && <View />}
    </section>
  );
}
