import "./viewSwitch.css";

/** Views of which one is shown in the same place. */
export function ViewSwitch<V extends string>(props: {
  views: readonly V[];
  shown: V;
  /** Those that have nothing to show yet. */
  idle?: readonly V[];
  onChange: (view: V) => void;
}) {
  const { views, shown, idle = [], onChange } = props;
  return (
    <div class="view-switch">
      {views.map((view) => (
        <button
          key={view}
          type="button"
          aria-pressed={shown === view}
          disabled={idle.includes(view)}
          onClick={() => onChange(view)}
        >
          {view}
        </button>
      ))}
    </div>
  );
}
