import { useEffect } from "preact/hooks";
import { person, setPerson } from "#ui/data/client.ts";
import { loadSession, session, signOut } from "#ui/data/session.ts";
import { TextField } from "#ui/parts/textField.tsx";

/** Whose name the change history gets: the account's where one signs in, else the name as given. */
export function WhoWorksHere() {
  useEffect(() => void loadSession(), []);
  const account = session.value?.account ?? null;
  if (account === null)
    return <TextField label="Your name, for the change history" value={person.value} onChange={setPerson} />;
  return (
    <p>
      Signed in as {account.name}, {account.role}.{" "}
      <button type="button" class="small" onClick={() => void signOut(false)}>
        Sign out
      </button>{" "}
      <button
        type="button"
        class="small"
        title="On every machine; tokens of yours end too"
        onClick={() => void signOut(true)}
      >
        Sign out everywhere
      </button>
    </p>
  );
}
