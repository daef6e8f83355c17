import { useState } from "preact/hooks";
import { api } from "../api";
import { peopleOnRecord, type Choice } from "../contacts";
import { useLoaded } from "../loaded";
import { Field } from "../signin/Fields";
import { useAction } from "../signin/SignIn";
import { dayAndClock } from "../time";
import type { Account, Code, Invite, Office, Phone } from "../types";
import { crewTitle } from "../ui/crewtitle";
import { Empty, Shown } from "../ui/States";
import { words } from "../words";

const roles = ["dispatcher", "tech", "manager", "administrator"];

/** What can be done about accounts and phones; each ends when the server has answered. */
export interface Acts {
  open: (request: { person?: string; name?: string; login: string; roles: string[] }) => Promise<Invite>;
  invite: (person: string) => Promise<Invite>;
  setRoles: (person: string, roles: string[]) => Promise<unknown>;
  close: (person: string, why: string) => Promise<unknown>;
  code: (person: string, crew: string) => Promise<Code>;
  revoke: (phone: string, why: string) => Promise<unknown>;
}

/** Who may sign in and as what, for administrators; the enrolled phones, for dispatchers too. */
export function Accounts(props: { office: Office }) {
  const administers = props.office.me?.roles?.includes("administrator") ?? false;
  const people = useLoaded("accounts", ["person"], async () => (administers ? (await api.accounts()) ?? [] : null));
  const phones = useLoaded("phones", ["person"], async () => (await api.phones()) ?? []);
  const choices = useLoaded("people on record", ["person"], peopleOnRecord);
  const after = <T,>(act: Promise<T>) => act.then((answer) => { people.again(); phones.again(); return answer; });
  const acts: Acts = {
    open: (r) => after(api.openAccount(r)),
    invite: (person) => after(api.invite(person)),
    setRoles: (person, list) => after(api.setRoles(person, list)),
    close: (person, why) => after(api.closeAccount(person, why)),
    code: (person, crew) => api.phoneCode({ person, crew }),
    revoke: (phone, why) => after(api.revokePhone(phone, why)),
  };
  return <Shown loaded={phones}>{(list) => <AccountsPage office={props.office} people={people.data} phones={list} choices={choices.data ?? []} acts={acts} />}</Shown>;
}

export function AccountsPage(props: { office: Office; people: Account[] | null; phones: Phone[]; choices: Choice[]; acts: Acts }) {
  const w = words.accounts;
  return (
    <>
      <h1>{props.people ? w.head(props.people.filter((p) => p.open).length, props.phones.filter((p) => !p.revoked).length) : w.phones}</h1>
      {props.people && <People {...props} people={props.people} />}
      <Phones {...props} />
    </>
  );
}

function People(props: { office: Office; people: Account[]; choices: Choice[]; acts: Acts }) {
  const w = words.accounts;
  const [invite, setInvite] = useState<(Invite & { name: string }) | null>(null);
  return (
    <>
      <h2>{w.people}</h2>
      {invite && (
        <div class="said" role="status">
          <p>{w.link(invite.name)} {dayAndClock(invite.until, props.office.zone)}: <span class="code">{location.origin}{invite.path}</span></p>
          <p>{w.linkHow}</p>
        </div>
      )}
      {props.people.length === 0 ? <Empty><p>{w.none}</p></Empty> : (
        <div class="scroll" tabIndex={0} role="region" aria-label={w.people}>
          <table class="rows">
            <thead><tr>{w.columns.map((c) => <th key={c} scope="col">{c}</th>)}</tr></thead>
            <tbody>{props.people.map((p) => <Person key={p.person} person={p} office={props.office} acts={props.acts} link={(i) => setInvite({ ...i, name: p.name })} />)}</tbody>
          </table>
        </div>
      )}
      <NewAccount choices={props.choices} open={props.acts.open} link={setInvite} />
    </>
  );
}

function Person(props: { person: Account; office: Office; acts: Acts; link: (invite: Invite) => void }) {
  const { person: p, acts } = props;
  const w = words.accounts;
  const [chosen, setChosen] = useState(p.roles ?? []);
  const [why, setWhy] = useState("");
  const { run, busy, said } = useAction();
  const state = [!p.open && w.closed, p.open && p.held && w.held, p.open && !p.password && w.noPassword, p.invited && w.invited].filter(Boolean).join("; ");
  return (
    <tr>
      <td>{p.name}<span class="facts">{p.login}</span>{state && <span class="facts">{state}</span>}</td>
      <td>{p.open ? <Roles legend={w.rolesOf(p.name)} chosen={chosen} change={setChosen} /> : (p.roles ?? []).join(", ")}</td>
      <td>{p.seen ? dayAndClock(p.seen, props.office.zone) : w.never}</td>
      <td>
        {p.open && (
          <>
            <p class="actions">
              <button type="button" disabled={busy} onClick={() => run(async () => { await acts.setRoles(p.person, chosen); })}>{w.keepRoles}<span class="hidden-text"> {p.name}</span></button>
              <button type="button" disabled={busy} onClick={() => run(async () => props.link(await acts.invite(p.person)))}>{w.newLink}<span class="hidden-text"> {p.name}</span></button>
            </p>
            <details>
              <summary>{w.close}<span class="hidden-text"> {p.name}</span></summary>
              <form onSubmit={(event) => { event.preventDefault(); void run(async () => { await acts.close(p.person, why); }); }}>
                <Field label={w.why}>{(a) => <input {...a} required value={why} onInput={(e) => setWhy(e.currentTarget.value)} />}</Field>
                <p class="actions"><button type="submit" disabled={busy}>{w.closeSure(p.name)}</button></p>
              </form>
            </details>
            {said}
          </>
        )}
      </td>
    </tr>
  );
}

function Roles(props: { legend: string; chosen: string[]; change: (roles: string[]) => void }) {
  const w = words.accounts;
  const toggle = (role: string) => props.change(props.chosen.includes(role) ? props.chosen.filter((r) => r !== role) : [...props.chosen, role]);
  return (
    <fieldset class="several">
      <legend>{props.legend}</legend>
      {roles.map((role) => (
        <label class="check" key={role} title={w.roleHints[role]}><input type="checkbox" checked={props.chosen.includes(role)} onChange={() => toggle(role)} />{w.roles[role]}</label>
      ))}
    </fieldset>
  );
}

function NewAccount(props: { choices: Choice[]; open: Acts["open"]; link: (invite: Invite & { name: string }) => void }) {
  const w = words.accounts;
  const [person, setPerson] = useState("");
  const [name, setName] = useState("");
  const [login, setLogin] = useState("");
  const [chosen, setChosen] = useState<string[]>(["dispatcher"]);
  const { run, busy, said } = useAction();
  const submit = (event: Event) => {
    event.preventDefault();
    void run(async () => {
      const invite = await props.open({ ...(person ? { person } : { name: name.trim() }), login: login.trim(), roles: chosen });
      props.link({ ...invite, name: props.choices.find((c) => c.id === person)?.text ?? name });
      setPerson("");
      setName("");
      setLogin("");
    });
  };
  return (
    <>
      <h2>{w.add}</h2>
      <form class="record" onSubmit={submit}>
        <div class="fields">
          <Field label={w.whom}>{(a) => (
            <select {...a} value={person} onChange={(e) => setPerson(e.currentTarget.value)}>
              <option value="">{w.newPerson}</option>
              {props.choices.map(({ id, text }) => <option key={id} value={id}>{text}</option>)}
            </select>
          )}</Field>
          {!person && <Field label={w.name}>{(a) => <input {...a} required value={name} onInput={(e) => setName(e.currentTarget.value)} />}</Field>}
          <Field label={w.login} hint={words.door.loginHint}>{(a) => <input {...a} required autocapitalize="none" spellcheck={false} value={login} onInput={(e) => setLogin(e.currentTarget.value)} />}</Field>
        </div>
        <Roles legend={w.columns[1]!} chosen={chosen} change={setChosen} />
        {said}
        <p class="actions"><button type="submit" class="main" disabled={busy}>{w.open}</button></p>
      </form>
    </>
  );
}

function Phones(props: { office: Office; phones: Phone[]; choices: Choice[]; acts: Acts }) {
  const w = words.accounts;
  const { zone } = props.office;
  return (
    <>
      <h2>{w.phones}</h2>
      {props.phones.length === 0 ? <Empty><p>{w.noPhones}</p></Empty> : (
        <div class="scroll" tabIndex={0} role="region" aria-label={w.phones}>
          <table class="rows">
            <thead><tr>{w.phoneColumns.map((c) => <th key={c} scope="col">{c}</th>)}</tr></thead>
            <tbody>{props.phones.map((p) => (
              <tr key={p.id}>
                <td>{p.name || w.unnamed}<span class="facts">{p.agent}</span></td>
                <td>{p.who}</td>
                <td><span class="letter">{p.crew.letter}</span> {crewTitle(p.crew)}</td>
                <td>{dayAndClock(p.since, zone)}</td>
                <td>{p.seen ? dayAndClock(p.seen, zone) : w.never}</td>
                <td>{p.revoked ? w.revoked : <Revoke phone={p} revoke={props.acts.revoke} />}</td>
              </tr>
            ))}</tbody>
          </table>
        </div>
      )}
      <EnrolForm {...props} />
    </>
  );
}

function Revoke(props: { phone: Phone; revoke: Acts["revoke"] }) {
  const w = words.accounts;
  const [why, setWhy] = useState("");
  const { run, busy, said } = useAction();
  return (
    <details>
      <summary>{w.revoke}<span class="hidden-text"> {props.phone.name} {props.phone.who}</span></summary>
      <form onSubmit={(event) => { event.preventDefault(); void run(async () => { await props.revoke(props.phone.id, why); }); }}>
        <Field label={w.why}>{(a) => <input {...a} required value={why} onInput={(e) => setWhy(e.currentTarget.value)} />}</Field>
        <p class="actions"><button type="submit" disabled={busy}>{w.revoke}</button></p>
      </form>
      {said}
    </details>
  );
}

function EnrolForm(props: { office: Office; choices: Choice[]; acts: Acts }) {
  const w = words.accounts;
  const [person, setPerson] = useState("");
  const [crew, setCrew] = useState("");
  const [code, setCode] = useState<Code | null>(null);
  const { run, busy, said } = useAction();
  return (
    <>
      <h3>{w.enrolTitle}</h3>
      <form class="actions" onSubmit={(event) => { event.preventDefault(); void run(async () => setCode(await props.acts.code(person, crew))); }}>
        <label class="field">{w.person}
          <select required value={person} onChange={(e) => setPerson(e.currentTarget.value)}>
            <option value=""></option>
            {props.choices.map(({ id, text }) => <option key={id} value={id}>{text}</option>)}
          </select>
        </label>
        <label class="field">{w.crew}
          <select required value={crew} onChange={(e) => setCrew(e.currentTarget.value)}>
            <option value=""></option>
            {(props.office.crews ?? []).map((c) => <option key={c.id} value={c.id}>{`${c.letter} ${crewTitle(c)}`}</option>)}
          </select>
        </label>
        <button type="submit" class="main" disabled={busy}>{w.makeCode}</button>
      </form>
      {said}
      {code && (
        <div class="said" role="status">
          <p>{w.codeIs} {dayAndClock(code.until, props.office.zone)}: <strong class="code">{code.code}</strong></p>
          <p>{w.codeHow(`${location.origin}/sign-in.html#/phone`)}</p>
        </div>
      )}
    </>
  );
}
