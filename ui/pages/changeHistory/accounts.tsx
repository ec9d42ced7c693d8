import { useEffect, useId, useState } from "preact/hooks";
import {
  addAccount,
  addToken,
  changeAccount,
  changePassword,
  endToken,
  fetchAccounts,
  fetchTokens,
  type ListedAccount,
  type ListedToken,
  resetPassword,
  roles,
} from "#ui/data/accounts.ts";
import { session } from "#ui/data/session.ts";
import { Choice } from "#ui/parts/choice.tsx";
import { momentText } from "#ui/parts/days.ts";
import { NumberField } from "#ui/parts/numberField.tsx";
import { TextField } from "#ui/parts/textField.tsx";
import { Wide } from "#ui/parts/wide.tsx";

/** What is shown this once: a password or a token, and whose. */
interface Secret {
  readonly of: string;
  readonly text: string;
}

/** Who may come in and with which scripts: one's own password and tokens, for administrators all accounts. */
export function Accounts() {
  const [accounts, setAccounts] = useState<readonly ListedAccount[]>([]);
  const [tokens, setTokens] = useState<readonly ListedToken[]>([]);
  const [refusal, setRefusal] = useState<string | null>(null);
  const [secret, setSecret] = useState<Secret | null>(null);
  const own = session.value?.account ?? null;
  const isRuling = own?.role === "administrator";
  const load = async () => {
    if (isRuling) setAccounts(await fetchAccounts());
    setTokens(await fetchTokens());
  };
  /** Does something, shows what became of it and what it made. */
  const act = async (work: () => Promise<Secret | unknown>) => {
    try {
      const made = await work();
      setRefusal(null);
      setSecret(isSecret(made) ? made : null);
      await load();
    } catch (fault) {
      setRefusal(fault instanceof Error ? fault.message : String(fault));
    }
  };
  useEffect(() => void act(async () => null), [own?.name]);
  if (own === null) return null;
  return (
    <section aria-label="Accounts and tokens">
      <h2>{isRuling ? "Accounts and tokens" : "Password and tokens"}</h2>
      {refusal !== null && (
        <p role="alert" class="problem">
          {refusal}
        </p>
      )}
      {secret !== null && (
        <p role="status">
          {secret.of}, shown this once: <code>{secret.text}</code>
        </p>
      )}
      {isRuling && <AccountTable accounts={accounts} act={act} />}
      {isRuling && <AddAccount act={act} />}
      <TokenTable tokens={tokens} act={act} />
      <AddToken act={act} />
      <ChangePassword act={act} />
    </section>
  );
}

type Act = (work: () => Promise<Secret | unknown>) => Promise<void>;

const isSecret = (made: unknown): made is Secret =>
  typeof made === "object" && made !== null && "of" in made && "text" in made;

function AccountTable({ accounts, act }: { accounts: readonly ListedAccount[]; act: Act }) {
  return (
    <Wide name="Accounts">
      <table>
        <thead>
          <tr>
            <th scope="col">Account</th>
            <th scope="col">Role</th>
            <th scope="col">Password</th>
            <th scope="col">Access</th>
          </tr>
        </thead>
        <tbody>
          {accounts.map(({ name, role, isDisabled }) => (
            <tr key={name}>
              <th scope="row">{name}</th>
              <td>
                <Choice
                  label={`Role of ${name}`}
                  value={role}
                  options={roles}
                  onChange={(to) => void act(() => changeAccount(name, { role: to }))}
                />
              </td>
              <td>
                <button
                  type="button"
                  class="small"
                  aria-label={`New password for ${name}`}
                  onClick={() =>
                    void act(async () => ({ of: `The password of ${name}`, text: await resetPassword(name) }))
                  }
                >
                  New password
                </button>
              </td>
              <td>
                {isDisabled ? (
                  "disabled; a new password lets them in again"
                ) : (
                  <button
                    type="button"
                    class="small"
                    aria-label={`Disable ${name}`}
                    onClick={() => void act(() => changeAccount(name, { isDisabled: true }))}
                  >
                    Disable
                  </button>
                )}
              </td>
            </tr>
          ))}
        </tbody>
      </table>
    </Wide>
  );
}

function AddAccount({ act }: { act: Act }) {
  const [name, setName] = useState("");
  const [role, setRole] = useState<ListedAccount["role"]>("writer");
  return (
    <form
      aria-label="Add an account"
      onSubmit={(event) => {
        event.preventDefault();
        void act(async () => ({ of: `The password of ${name}`, text: await addAccount(name.trim(), role) }));
      }}
    >
      <TextField label="Name of the new account" value={name} onChange={setName} />
      <Choice label="Role" value={role} options={roles} onChange={setRole} />
      <button type="submit" disabled={name.trim() === ""}>
        Add
      </button>
    </form>
  );
}

function TokenTable({ tokens, act }: { tokens: readonly ListedToken[]; act: Act }) {
  if (tokens.length === 0) return <p class="quiet">There are no tokens for scripts.</p>;
  return (
    <Wide name="Tokens">
      <table>
        <thead>
          <tr>
            <th scope="col">Token of</th>
            <th scope="col">May</th>
            <th scope="col">Until</th>
            <th scope="col">End</th>
          </tr>
        </thead>
        <tbody>
          {tokens.map(({ id, account, role, expires }) => (
            <tr key={id}>
              <th scope="row">{account}</th>
              <td>{role}</td>
              <td>{momentText(expires)}</td>
              <td>
                <button
                  type="button"
                  class="small"
                  aria-label={`End the token of ${account} until ${momentText(expires)}`}
                  onClick={() => void act(() => endToken(id))}
                >
                  End
                </button>
              </td>
            </tr>
          ))}
        </tbody>
      </table>
    </Wide>
  );
}

function AddToken({ act }: { act: Act }) {
  const [role, setRole] = useState<ListedAccount["role"]>("reader");
  const [days, setDays] = useState<number | null>(90);
  return (
    <form
      aria-label="Make a token"
      onSubmit={(event) => {
        event.preventDefault();
        if (days !== null) void act(async () => ({ of: "The token", text: await addToken(role, days) }));
      }}
    >
      <Choice label="A token for scripts as" value={role} options={roles} onChange={setRole} />
      <NumberField label="It holds for" unit="days" value={days} onChange={setDays} min={1} max={366} />
      <button type="submit" disabled={days === null}>
        Make
      </button>
    </form>
  );
}

function ChangePassword({ act }: { act: Act }) {
  const [old, next] = [useId(), useId()];
  return (
    <form
      aria-label="Change your password"
      onSubmit={(event) => {
        event.preventDefault();
        const given = new FormData(event.currentTarget);
        void act(() => changePassword(String(given.get("old")), String(given.get("next"))));
      }}
    >
      <span class="field">
        <label for={old}>Your password</label>
        <input id={old} name="old" type="password" autocomplete="current-password" required size={20} />
      </span>
      <span class="field">
        <label for={next}>New password</label>
        <input id={next} name="next" type="password" autocomplete="new-password" required size={20} />
      </span>
      <button type="submit">Change</button>
    </form>
  );
}
