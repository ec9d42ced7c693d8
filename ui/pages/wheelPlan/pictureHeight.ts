import { signal } from "@preact/signals";
import { useEffect } from "preact/hooks";

/** What stands above and below the two pictures of the plan, in CSS pixels. */
const besideIt = 570;
const least = 200;
const most = 440;

const heightFor = () => Math.round(Math.min(Math.max(innerHeight - besideIt, least), most));

/** Of both pictures, so that the whole plan stands in one frame where the window is high enough. */
export const pictureHeight = signal(typeof innerHeight === "undefined" ? least : heightFor());

export function usePictureHeight(): void {
  useEffect(() => {
    const measure = () => {
      pictureHeight.value = heightFor();
    };
    measure();
    addEventListener("resize", measure);
    return () => removeEventListener("resize", measure);
  }, []);
}
