import type { RefObject } from "preact";
import { useEffect, useState } from "preact/hooks";

/** Whether one has come near a place, by scrolling or because it was said; once near it stays so. */
export function useNear(place: RefObject<Element | null>): readonly [isNear: boolean, comeNear: () => void] {
  const [isNear, setNear] = useState(false);
  useEffect(() => {
    if (place.current === null || isNear) return;
    const watch = new IntersectionObserver((seen) => setNear(seen.some((s) => s.isIntersecting)));
    watch.observe(place.current);
    return () => watch.disconnect();
  }, [isNear]);
  return [isNear, () => setNear(true)];
}
