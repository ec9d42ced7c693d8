import { useEffect, useId, useRef, useState } from "preact/hooks";
import { signIn } from "#ui/data/session.ts";

/** Stands in the page's place at a server that others reach, until one has signed in. */
export function SignIn() {
  const [name, password] = [useId(), useId()];
  const [refusal, setRefusal] = useState<string | null>(null);
  const [isSending, setIsSending] = useState(false);
  const first = useRef<HTMLInputElement>(null);
  useEffect(() => first.current?.focus(), []);
  const send = async (form: HTMLFormElement) => {
    const given = new FormData(form);
    setRefusal(null);
    setIsSending(true);
    try {
      await signIn(String(given.get("name")), String(given.get("password")));
    } catch (fault) {
      setRefusal(fault instanceof Error ? fault.message : String(fault));
      first.current?.focus();
    }
    setIsSending(false);
  };
  return (
    <form
      class="frame"
      onSubmit={(event) => {
        event.preventDefault();
        void send(event.currentTarget);
      }}
    >
      <h1>Sign in</h1>
      <p class="quiet">
        This server is reached by several people. An administrator of your lab makes accounts.
      </p>
      <p>
        <span class="field">
          <label for={name}>Name</label>
          <input ref={first} id={name} name="name" type="text" autocomplete="username" required size={24} />
        </span>
      </p>
      <p>
        <span class="field">
          <label for={password}>Password</label>
          <input
            id={password}
            name="password"
            type="password"
            autocomplete="current-password"
            required
            size={24}
          />
        </span>
      </p>
      {refusal !== null && (
        <p role="alert" class="problem">
          {refusal}
        </p>
      )}
      <button type="submit" class="main" disabled={isSending}>
        Sign in
      </button>
    </form>
  );
}
