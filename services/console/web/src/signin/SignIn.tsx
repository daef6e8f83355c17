import { useState } from "preact/hooks";
import { address } from "../route";
import { door } from "../signinwords";
import type { Door } from "../types";
import { Refused } from "../ui/States";
import { words } from "../words";
import { Field } from "./Fields";

type Act = () => Promise<void>;

/** Runs an action, says what was refused, and keeps a second press from running it twice. */
export function useAction() {
  const [refused, setRefused] = useState<string[] | null>(null);
  const [busy, setBusy] = useState(false);
  const run = async (act: Act) => {
    setBusy(true);
    setRefused(null);
    try {
      await act();
    } catch (error) {
      setRefused("sentences" in (error as object) ? (error as { sentences: string[] }).sentences : [String(error)]);
    } finally {
      setBusy(false);
    }
  };
  const said = refused && <Refused title={words.states.refused} sentences={refused} />;
  return { run, busy, said };
}

export function SignIn(props: { said?: string; signIn: (login: string, password: string) => Promise<void> }) {
  const [login, setLogin] = useState("");
  const [password, setPassword] = useState("");
  const { run, busy, said } = useAction();
  return (
    <>
      <h1>{door.title}</h1>
      {props.said && <p class="said" role="status">{props.said}</p>}
      <form class="record" onSubmit={(event) => { event.preventDefault(); void run(() => props.signIn(login, password)); }}>
        <Field label={door.login}>{(a) => <input {...a} required autocomplete="username" autocapitalize="none" spellcheck={false} value={login} onInput={(e) => setLogin(e.currentTarget.value)} />}</Field>
        <Field label={door.password}>{(a) => <input {...a} type="password" required autocomplete="current-password" value={password} onInput={(e) => setPassword(e.currentTarget.value)} />}</Field>
        {said}
        <p class="actions"><button type="submit" class="main" disabled={busy}>{door.enter}</button></p>
      </form>
      <p class="hint">{door.forgotten}</p>
      <OtherWays />
    </>
  );
}

export function OtherWays() {
  return (
    <>
      <h2>{door.other}</h2>
      <ul class="plain doors">
        <li><a href={address("phone")}>{door.usePhone}</a></li>
        <li><a href={address("trust")}>{door.trust}</a></li>
      </ul>
    </>
  );
}

/** Whoever has signed in already: where to go, and out again. */
export function In(props: { door: Door; signOut: () => Promise<void> }) {
  const { run, busy, said } = useAction();
  const me = props.door.me!;
  return (
    <>
      <h1>{me.phone ? door.ofPhone(me.name) : door.signedInAs(me.name)}</h1>
      <ul class="plain doors">
        {!me.phone && <li><a href="./index.html">{door.toOffice}</a></li>}
        <li><a href="./crew.html">{door.toCrew}</a></li>
        <li><a href={address("trust")}>{door.trust}</a></li>
      </ul>
      {said}
      {!me.phone && <p class="actions"><button type="button" disabled={busy} onClick={() => run(props.signOut)}>{door.signOut}</button></p>}
    </>
  );
}
