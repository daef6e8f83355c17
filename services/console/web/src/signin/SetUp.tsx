import { useState } from "preact/hooks";
import { door } from "../signinwords";
import { Field, NewPassword } from "./Fields";
import { useAction } from "./SignIn";

/** The first start: the first administrator. */
export function SetUp(props: { setUp: (name: string, login: string, password: string) => Promise<void> }) {
  const [name, setName] = useState("");
  const [login, setLogin] = useState("");
  const [[password, again], setPasswords] = useState(["", ""]);
  const { run, busy, said } = useAction();
  const submit = (event: Event) => {
    event.preventDefault();
    void run(async () => {
      if (password !== again) throw { sentences: [door.differ] };
      await props.setUp(name, login, password);
    });
  };
  return (
    <>
      <h1>{door.setUpTitle}</h1>
      <p>{door.setUpLead}</p>
      <form class="record" onSubmit={submit}>
        <Field label={door.name}>{(a) => <input {...a} required autocomplete="name" value={name} onInput={(e) => setName(e.currentTarget.value)} />}</Field>
        <Field label={door.login} hint={door.loginHint}>{(a) => <input {...a} required autocomplete="username" autocapitalize="none" spellcheck={false} value={login} onInput={(e) => setLogin(e.currentTarget.value)} />}</Field>
        <NewPassword value={password} again={again} change={(p, q) => setPasswords([p, q])} />
        {said}
        <p class="actions"><button type="submit" class="main" disabled={busy}>{door.setUp}</button></p>
      </form>
    </>
  );
}

/** A link from an administrator: a first password, or another one. */
export function Welcome(props: { choose: (password: string) => Promise<void> }) {
  const [[password, again], setPasswords] = useState(["", ""]);
  const { run, busy, said } = useAction();
  const submit = (event: Event) => {
    event.preventDefault();
    void run(async () => {
      if (password !== again) throw { sentences: [door.differ] };
      await props.choose(password);
    });
  };
  return (
    <>
      <h1>{door.welcomeTitle}</h1>
      <p>{door.welcomeLead}</p>
      <form class="record" onSubmit={submit}>
        <NewPassword value={password} again={again} change={(p, q) => setPasswords([p, q])} />
        {said}
        <p class="actions"><button type="submit" class="main" disabled={busy}>{door.choose}</button></p>
      </form>
    </>
  );
}

/** A crew's phone, by a code from the office. */
export function EnrolPhone(props: { enrol: (code: string, name: string) => Promise<void> }) {
  const [code, setCode] = useState("");
  const [name, setName] = useState("");
  const { run, busy, said } = useAction();
  return (
    <>
      <h1>{door.phoneTitle}</h1>
      <p>{door.phoneLead}</p>
      <form class="record" onSubmit={(event) => { event.preventDefault(); void run(() => props.enrol(code, name)); }}>
        <Field label={door.code}>{(a) => <input {...a} class="code" required autocomplete="one-time-code" autocapitalize="characters" spellcheck={false} value={code} onInput={(e) => setCode(e.currentTarget.value)} />}</Field>
        <Field label={door.phoneName} hint={door.phoneNameHint}>{(a) => <input {...a} maxLength={100} value={name} onInput={(e) => setName(e.currentTarget.value)} />}</Field>
        {said}
        <p class="actions"><button type="submit" class="main" disabled={busy}>{door.enrol}</button></p>
      </form>
    </>
  );
}
