import { useEffect } from "preact/hooks";
import { said } from "#ui/data/client.ts";

/** Long enough to be read; what was said of one change is not to stand over later ones. */
const shownForMs = 20_000;

/** What was just done. */
export function SaidLine() {
  const words = said.value;
  useEffect(() => {
    if (words === "") return;
    const timer = setTimeout(() => {
      said.value = "";
    }, shownForMs);
    return () => clearTimeout(timer);
  }, [words]);
  return (
    <p class="quiet said" role="status">
      {words}
    </p>
  );
}
