import { useState } from "preact/hooks";

/** What an element needs so that files may be dropped anywhere on it. */
export function useDrop(take: (files: readonly File[]) => void) {
  const [isDropping, setDropping] = useState(false);
  return {
    ...(isDropping ? { "data-dropping": "" } : {}),
    onDragOver: (event: DragEvent) => {
      event.preventDefault();
      setDropping(true);
    },
    onDragLeave: () => setDropping(false),
    onDrop: (event: DragEvent) => {
      event.preventDefault();
      setDropping(false);
      take([...(event.dataTransfer?.files ?? [])]);
    },
  };
}
