import { Component, type ComponentChildren } from "preact";

/** A fault inside stays inside: the rest of the page goes on, and the fault is said in words. */
export class ErrorBoundary extends Component<
  { what: string; children: ComponentChildren },
  { fault: string | null }
> {
  override state = { fault: null };

  static override getDerivedStateFromError(error: unknown): { fault: string } {
    return { fault: error instanceof Error ? error.message : String(error) };
  }

  override render() {
    if (this.state.fault === null) return this.props.children;
    return (
      <p role="alert" class="problem">
        {this.props.what} could not be shown: {this.state.fault}. Other numbers on the page are not affected.
      </p>
    );
  }
}
