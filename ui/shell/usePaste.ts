import { useEffect } from "preact/hooks";

/** Hands over a table that is pasted anywhere but into a field. */
export function usePaste(take: (pasted: { html: string; plain: string }) => void): void {
  useEffect(() => {
    const paste = ({ target, clipboardData }: ClipboardEvent) => {
      const isField = target instanceof HTMLTextAreaElement || target instanceof HTMLInputElement;
      const html = clipboardData?.getData("text/html") ?? "";
      const plain = clipboardData?.getData("text/plain") ?? "";
      if (!isField && plain.includes("\n")) take({ html, plain });
    };
    addEventListener("paste", paste);
    return () => removeEventListener("paste", paste);
  }, []);
}
