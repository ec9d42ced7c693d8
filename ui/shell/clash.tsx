import { clash } from "#ui/data/client.ts";
import { loadAll } from "#ui/data/entries.ts";
import { differences } from "#ui/parts/differences.ts";
import { Wide } from "#ui/parts/wide.tsx";

/** Two people changed one entry: both versions side by side, and neither is lost until one is chosen. */
export function ClashPanel() {
  const found = clash.value;
  if (found === null) return null;
  const { message, mine, theirs, keepMine } = found;
  const rows = theirs === null ? [] : differences(mine, theirs);
  return (
    <section class="panel" role="alert" aria-labelledby="clash">
      <h2 id="clash">{message}</h2>
      {rows.length > 0 && (
        <Wide name="Both versions">
          <table>
            <thead>
              <tr>
                <th scope="col">Field</th>
                <th scope="col">Yours</th>
                <th scope="col">Theirs</th>
              </tr>
            </thead>
            <tbody>
              {rows.map((row) => (
                <tr key={row.field}>
                  <th scope="row">{row.field}</th>
                  <td>{row.a}</td>
                  <td>{row.b}</td>
                </tr>
              ))}
            </tbody>
          </table>
        </Wide>
      )}
      {theirs !== null && rows.length === 0 && <p>Both versions are the same.</p>}
      <p>
        {keepMine !== null && (
          <button type="button" class="main" onClick={() => void keepMine()}>
            Save mine
          </button>
        )}{" "}
        <button
          type="button"
          onClick={() => {
            clash.value = null;
            void loadAll();
          }}
        >
          {theirs === null ? "Accept the deletion" : "Accept theirs"}
        </button>
      </p>
    </section>
  );
}
