import type { ComponentType } from "preact";
import { useRef } from "preact/hooks";
import { useNear } from "./useNear.ts";

interface NearSectionProps {
  /** Left out where what it holds brings headings of its own. */
  readonly heading?: string;
  readonly id?: string;
  readonly of: ComponentType;
}

/** A section under its heading. What it holds is fetched and worked out when one comes near it. */
export function NearSection({ heading, id, of: View }: NearSectionProps) {
  const place = useRef<HTMLElement>(null);
  const [isNear] = useNear(place);
  return (
    <section ref={place} id={id} class={isNear ? "" : "soon"}>
      {heading !== undefined && <h2>{heading}</h2>}
      {isNear && <View />}
    </section>
  );
}
