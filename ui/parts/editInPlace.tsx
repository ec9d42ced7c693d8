import type { ComponentChildren } from "preact";
import { useState } from "preact/hooks";

/** What is known, in a line, and the form that changes it, which opens below it. */
export function EditInPlace(props: {
  of: string;
  finding: ComponentChildren;
  children: ComponentChildren;
  /** Where something was typed before, the form is not hidden. */
  isOpenAtFirst?: boolean;
}) {
  const { of, finding, children, isOpenAtFirst = false } = props;
  const [isOpen, setOpen] = useState(isOpenAtFirst);
  return (
    <div data-edit={of}>
      <p>
        {finding}{" "}
        <button
          type="button"
          class="small"
          aria-expanded={isOpen}
          aria-label={`Edit ${of}`}
          onClick={() => setOpen(!isOpen)}
        >
          Edit
        </button>
      </p>
      {isOpen && children}
    </div>
  );
}
