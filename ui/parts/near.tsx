import type { ComponentChildren } from "preact";
import { useEffect, useRef } from "preact/hooks";
import { useNear } from "./useNear.ts";

/**
 * What stands below the frame: fetched and worked out when one comes near it, by scrolling or with a key, or presses the
 * name of what is there.
 */
export function Near({ name, children }: { name: string; children: ComponentChildren }) {
  const place = useRef<HTMLDivElement>(null);
  const wasFocused = useRef(false);
  const [isNear, comeNear] = useNear(place);
  useEffect(() => {
    // Whoever came with the keyboard goes on from here, not from the top.
    if (isNear && wasFocused.current) place.current?.focus();
  }, [isNear]);
  const take = () => {
    wasFocused.current = true;
    comeNear();
  };
  return (
    <div ref={place} class="below" data-below tabIndex={-1}>
      {isNear ? (
        children
      ) : (
        <p class="tall">
          <button type="button" onFocus={take} onClick={take}>
            {name}
          </button>
        </p>
      )}
    </div>
  );
}
