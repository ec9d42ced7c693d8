import { useEffect, useState } from "preact/hooks";
import { base64Of } from "#ui/data/base64.ts";
import { ask, attempt, fetchBeside } from "#ui/data/client.ts";

interface SavedLogo {
  readonly id: number;
  readonly name: string;
}

/** The picture that heads a customer's report: chosen once, kept with the lab, printed until it is removed. */
export function CustomerLogo() {
  const [logo, setLogo] = useState<SavedLogo | null>(null);
  const [refusal, setRefusal] = useState<string | null>(null);
  const load = () => fetchBeside(async () => setLogo((await ask("GET /api/logos", {})).logos.at(-1) ?? null));
  useEffect(() => void load(), []);
  const take = async (file: File) => {
    setRefusal(null);
    try {
      const image = await base64Of(new Uint8Array(await file.arrayBuffer()));
      await ask("POST /api/logos", { body: { name: file.name, image } });
      if (logo !== null) await ask("DELETE /api/logos/{id}", { params: { id: logo.id } });
    } catch (fault) {
      setRefusal(fault instanceof Error ? fault.message : String(fault));
    }
    await load();
  };
  return (
    <span class="field">
      <label>
        {logo === null ? "Logo, if wanted" : `Logo ${logo.name}, or another`}{" "}
        <input
          type="file"
          accept="image/png,image/jpeg"
          onChange={({ currentTarget }) => {
            const [file] = currentTarget.files ?? [];
            if (file !== undefined) void take(file);
          }}
        />
      </label>
      {logo !== null && (
        <button
          type="button"
          class="small"
          onClick={async () => {
            await attempt(async () => {
              await ask("DELETE /api/logos/{id}", { params: { id: logo.id } });
            });
            await load();
          }}
        >
          Remove the logo
        </button>
      )}
      {refusal !== null && (
        <span role="alert" class="problem">
          {refusal}
        </span>
      )}
    </span>
  );
}
