import type { ComponentChild, ComponentType } from "preact";
import { useEffect, useState } from "preact/hooks";

/**
 * A view whose code is fetched when it is first shown, so that the first page does not wait for what it does not show.
 * Once fetched it is drawn at once; where it cannot be fetched, it says so and offers to try again, and
 * then to load the page anew: a renewed server no longer holds the parts of an earlier page.
 */
export function later<Props extends object>(
  what: string,
  fetchView: () => Promise<ComponentType<Props>>,
  /** What stands in its place meanwhile. */
  meanwhile: () => ComponentChild = () => <p class="quiet">Loading {what} …</p>,
): ComponentType<Props> {
  let view: ComponentType<Props> | null = null;
  return function Later(props: Props) {
    const [failures, setFailures] = useState(0);
    const [state, setState] = useState<"waiting" | "here" | "failed">(view === null ? "waiting" : "here");
    useEffect(() => {
      if (state !== "waiting") return;
      // A browser may remember that a part could not be fetched: it is not asked for where there is no network at all.
      (navigator.onLine ? fetchView() : Promise.reject()).then(
        (fetched) => {
          view = fetched;
          setState("here");
        },
        () => {
          setFailures(failures + 1);
          setState("failed");
        },
      );
    }, [state]);
    if (view !== null) {
      const View = view;
      return <View {...props} />;
    }
    if (state === "waiting") return <>{meanwhile()}</>;
    return (
      <p role="alert" class="problem">
        Could not load {what}: the server does not answer. The rest of the page is unchanged.{" "}
        <button type="button" onClick={() => setState("waiting")}>
          Try again
        </button>
        {failures > 1 && (
          <>
            {" "}
            The program may have been updated:{" "}
            <button type="button" onClick={() => location.reload()}>
              Reload the page
            </button>{" "}
            Unsaved entries will be lost.
          </>
        )}
      </p>
    );
  };
}
