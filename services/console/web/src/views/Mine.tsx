import { useState } from "preact/hooks";
import { api } from "../api";
import { useLoaded } from "../loaded";
import { Field, NewPassword } from "../signin/Fields";
import { useAction } from "../signin/SignIn";
import { dayAndClock } from "../time";
import type { Office, Session } from "../types";
import { Shown } from "../ui/States";
import { words } from "../words";

/** One's own account: the password, the sessions, and out. */
export function Mine(props: { office: Office }) {
  const sessions = useLoaded("sessions", [], api.sessions);
  return (
    <>
      <h1>{words.mine.title}{props.office.me ? `: ${props.office.me.name}` : ""}</h1>
      <Shown loaded={sessions}>{(list) => (
        <MinePage office={props.office} sessions={list ?? []}
          change={async (old, password) => { await api.changePassword({ old, password }); sessions.again(); }}
          end={async (id) => { await api.endSession(id); sessions.again(); }}
          signOut={async () => { await api.signOut(); location.replace("./sign-in.html"); }} />
      )}</Shown>
    </>
  );
}

export function MinePage(props: { office: Office; sessions: Session[]; change: (old: string, password: string) => Promise<void>; end: (id: string) => Promise<void>; signOut: () => Promise<void> }) {
  const w = words.mine;
  const [old, setOld] = useState("");
  const [[password, again], setPasswords] = useState(["", ""]);
  const [done, setDone] = useState(false);
  const { run, busy, said } = useAction();
  const submit = (event: Event) => {
    event.preventDefault();
    setDone(false);
    void run(async () => {
      if (password !== again) throw { sentences: [words.door.differ] };
      await props.change(old, password);
      setOld("");
      setPasswords(["", ""]);
      setDone(true);
    });
  };
  return (
    <>
      <p class="actions"><button type="button" disabled={busy} onClick={() => run(props.signOut)}>{w.signOut}</button></p>
      <h2>{w.password}</h2>
      <form class="record" onSubmit={submit}>
        <Field label={w.old}>{(a) => <input {...a} type="password" required autocomplete="current-password" value={old} onInput={(e) => setOld(e.currentTarget.value)} />}</Field>
        <NewPassword label={w.fresh} value={password} again={again} change={(p, q) => setPasswords([p, q])} />
        {said}
        {done && <p class="said" role="status">{w.changed}</p>}
        <p class="actions"><button type="submit" class="main" disabled={busy}>{w.change}</button></p>
      </form>
      <h2>{w.sessions}</h2>
      <div class="scroll" tabIndex={0} role="region" aria-label={w.sessions}>
        <table class="rows">
          <thead><tr>{w.columns.map((c) => <th key={c} scope="col">{c}</th>)}</tr></thead>
          <tbody>{props.sessions.map((s) => (
            <tr key={s.id}>
              <td>{s.agent || "–"}{s.person !== props.office.me?.person && <span class="facts">{w.ofPerson(s.person)}</span>}</td>
              <td>{dayAndClock(s.made, props.office.zone)}</td>
              <td>{dayAndClock(s.seen, props.office.zone)}</td>
              <td>{s.this ? w.this : <button type="button" disabled={busy} onClick={() => run(() => props.end(s.id))}>{w.end}<span class="hidden-text"> {dayAndClock(s.made, props.office.zone)}</span></button>}</td>
            </tr>
          ))}</tbody>
        </table>
      </div>
    </>
  );
}
