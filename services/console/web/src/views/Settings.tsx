import { useState } from "preact/hooks";
import { api, Refusal } from "../api";
import { useLoaded } from "../loaded";
import { dayAndClock } from "../time";
import type { LearnedTime, Office, Setting, SettingsData } from "../types";
import { Empty, Refused, Shown } from "../ui/States";
import { words } from "../words";

/** What the office plans with, and what its own log says of the durations: #/settings. */
export function Settings(props: { office: Office }) {
  const loaded = useLoaded("settings", ["settings", "site", "feed", "assembly"], () => api.settings());
  return <Shown loaded={loaded}>{(data) => <SettingsPage key={data.changed_at ?? ""} data={data} office={props.office} show={loaded.show} />}</Shown>;
}

/** The settings by their groups, in the server's order. */
export function grouped(settings: Setting[]): [string, Setting[]][] {
  const groups = new Map<string, Setting[]>();
  for (const s of settings) groups.set(s.group, [...(groups.get(s.group) ?? []), s]);
  return [...groups];
}

/** What was typed and differs from what holds, as the server takes it. */
export function changedValues(settings: Setting[], typed: Record<string, string>): { name: string; number: number }[] {
  return settings.flatMap((s) => {
    const text = typed[s.name];
    return text === undefined || text.trim() === "" || Number(text) === s.number ? [] : [{ name: s.name, number: Number(text) }];
  });
}

export function SettingsPage(props: { data: SettingsData; office: Office; show: (data: SettingsData) => void }) {
  const { data, office, show } = props;
  const w = words.settings;
  const settings = data.settings ?? [];
  const [typed, setTyped] = useState<Record<string, string>>({});
  const [why, setWhy] = useState("");
  const [refused, setRefused] = useState<string[] | null>(null);
  const changes = changedValues(settings, typed);
  const save = (event: Event) => {
    event.preventDefault();
    setRefused(null);
    api.changeSettings(changes, why).then(show, (error: unknown) => setRefused(error instanceof Refusal ? error.sentences : [String(error)]));
  };
  const differing = settings.filter((s) => s.number !== s.default).length;
  return (
    <>
      <h1>{w.head(differing)}</h1>
      <p class="small">{w.lead}</p>
      {data.changed_at && <p class="small">{w.changed(dayAndClock(data.changed_at, office.zone), data.changed_by ?? "", data.why ?? "")}</p>}
      <Learned rows={data.learned ?? []} leftOut={data.left_out} use={(name, minutes) => setTyped({ ...typed, [name]: String(minutes) })} />
      {refused && <Refused title={words.states.refused} sentences={refused} />}
      <form class="settings" onSubmit={save}>
        {grouped(settings).map(([group, list]) => (
          <fieldset key={group}>
            <legend>{group}</legend>
            <div class="fields">{list.map((s) => (
              <label class="field" key={s.name}>{`${s.words}, ${s.unit}`}
                <input type="number" step="any" value={typed[s.name] ?? String(s.number)} onInput={(event) => setTyped({ ...typed, [s.name]: event.currentTarget.value })} />
                {s.number !== s.default && <span class="facts">{w.byDefault(s.default)}</span>}
              </label>
            ))}</div>
          </fieldset>
        ))}
        <label class="field">{w.why}<input type="text" value={why} onInput={(event) => setWhy(event.currentTarget.value)} /></label>
        <p class="actions"><button type="submit" disabled={changes.length === 0}>{w.save(changes.length)}</button></p>
      </form>
    </>
  );
}

/** Each duration that the log tells of, beside its setting. */
function Learned(props: { rows: LearnedTime[]; leftOut: number; use: (name: string, minutes: number) => void }) {
  const w = words.settings;
  return (
    <section>
      <h2>{w.learned}</h2>
      {props.rows.length === 0 ? <Empty><p>{w.nothingLearned}</p></Empty> : (
        <div class="scroll" tabIndex={0} role="region" aria-label={w.learned}>
          <table class="rows">
            <caption>{w.learnedLead}</caption>
            <thead><tr>{Object.values(w.columns).map((c) => <th key={c} scope="col">{c}</th>)}</tr></thead>
            <tbody>{props.rows.map((row) => (
              <tr key={row.name}>
                <td>{row.name}</td>
                <td>{w.minutes(Math.round(row.minutes))}</td>
                <td>{w.visits(row.count)}</td>
                <td>{w.minutes(row.setting)}
                  {row.sets && Math.round(row.minutes) !== row.setting && <button type="button" class="small" aria-label={w.useFor(row.name, Math.round(row.minutes))} onClick={() => props.use(row.sets!, Math.round(row.minutes))}>{w.use(Math.round(row.minutes))}</button>}
                </td>
                <td>{(row.crews ?? []).map((c) => w.crew(c.crew.name, Math.round(c.minutes), c.count)).join("; ")}</td>
              </tr>
            ))}</tbody>
          </table>
        </div>
      )}
      {props.leftOut > 0 && <p class="small">{w.leftOut(props.leftOut)}</p>}
    </section>
  );
}
