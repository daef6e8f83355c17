import { useState } from "preact/hooks";
import { api, Refusal } from "../api";
import { useLoaded } from "../loaded";
import { address } from "../route";
import { dayName } from "../time";
import type { DueList, Fault, Office } from "../types";
import { Refused, Shown } from "../ui/States";
import { words } from "../words";

/** Due lists come in here: read the file, say what the columns are, see what would happen, take it in. */
export function Intake(props: { office: Office; list: string | null }) {
  return props.list ? <OneList office={props.office} id={props.list} /> : <ReadList office={props.office} />;
}

function ReadList(props: { office: Office }) {
  const { office } = props;
  const [file, setFile] = useState<File | null>(null);
  const [purveyor, setPurveyor] = useState("");
  const [asOf, setAsOf] = useState(office.today);
  const [busy, setBusy] = useState(false);
  const [refused, setRefused] = useState<string[] | null>(null);
  const rules = (office.purveyors ?? []).find((p) => p.id === purveyor)?.rules;
  const read = (event: Event) => {
    event.preventDefault();
    if (!file) return;
    setBusy(true);
    setRefused(null);
    api.readList(file, purveyor, asOf).then(
      (list) => { location.hash = address("intake", list.id); },
      (error: unknown) => { setBusy(false); setRefused(error instanceof Refusal ? error.sentences : [String(error)]); },
    );
  };
  return (
    <>
      <h1>{words.intake.title}</h1>
      <p>{words.intake.lead}</p>
      {refused && <Refused title={words.intake.unreadable} sentences={refused} />}
      <form onSubmit={read}>
        <div class="actions">
          <label class="field">{words.intake.file}<input type="file" accept=".csv,.txt,.tsv,.xlsx" required onChange={(event) => setFile(event.currentTarget.files?.[0] ?? null)} /></label>
          <label class="field">{words.intake.purveyor}
            <select value={purveyor} required onChange={(event) => setPurveyor(event.currentTarget.value)}>
              <option value="">{words.crew.choose}</option>
              {(office.purveyors ?? []).map((p) => <option key={p.id} value={p.id}>{p.name}</option>)}
            </select>
          </label>
          <label class="field">{words.intake.asOf}<input type="date" value={asOf} required onInput={(event) => setAsOf(event.currentTarget.value)} /></label>
          <button type="submit" class="main" disabled={busy}>{busy ? words.states.loading : words.intake.read}</button>
        </div>
        {rules && <p class="soft">{rules}</p>}
      </form>
    </>
  );
}

function OneList(props: { office: Office; id: string }) {
  const loaded = useLoaded(`list ${props.id}`, [], () => api.list(props.id));
  const [refused, setRefused] = useState<string[] | null>(null);
  const act = (action: () => Promise<DueList>) => {
    setRefused(null);
    action().then(loaded.show, (error: unknown) => setRefused(error instanceof Refusal ? error.sentences : [String(error)]));
  };
  // A list that was read is kept until the server is started anew; after that it is uploaded again.
  if (loaded.failed && !loaded.data) return <><h1>{words.intake.title}</h1><Refused title={words.states.failed} sentences={loaded.failed}><a href={address("intake")}>{words.intake.another}</a></Refused></>;
  return <Shown loaded={loaded}>{(list) => <ListPage list={list} office={props.office} refused={refused} act={act} />}</Shown>;
}

export function ListPage(props: { list: DueList; office: Office; refused: string[] | null; act: (action: () => Promise<DueList>) => void }) {
  const { list, office, act } = props;
  const purveyor = (office.purveyors ?? []).find((p) => p.id === list.purveyor)?.name ?? list.purveyor;
  const questions = list.questions ?? [];
  return (
    <>
      <h1>{list.taken ? words.intake.takenHead(list.file) : words.intake.head(list.file)}</h1>
      <p>{words.intake.from(purveyor, dayName(list.as_of, office.today))} {list.mapping_saved && words.intake.mappingSaved}</p>
      {props.refused && <Refused title={words.states.refused} sentences={props.refused} />}
      {questions.length > 0 && !list.taken && <Refused title={words.intake.questions} sentences={questions.map((q) => q.text)} />}
      <Counts list={list} />
      <div class="actions">
        {!list.taken && (
          <button type="button" class="main" disabled={questions.length > 0} onClick={() => act(() => api.takeList(list.id))}>{words.intake.take(list.counts.new ?? 0, list.counts.moved ?? 0)}</button>
        )}
        <a href={address("intake")}>{words.intake.another}</a>
      </div>
      {!list.taken && <Columns list={list} act={act} />}
      <Faults title={words.intake.rejected} faults={list.rejected ?? []}>
        <p><a href={api.rejectedAddress(list.id)} download>{words.intake.saveRejected}</a></p>
      </Faults>
      <Rows list={list} />
      <Faults title={words.intake.warnings} faults={list.warnings ?? []} />
      <Faults title={words.intake.skipped} faults={list.skipped ?? []} />
      {(list.missing ?? []).length > 0 && (
        <details><summary>{words.intake.missing(list.missing!.length)}</summary><ul>{list.missing!.map((m) => <li key={m}>{m}</li>)}</ul></details>
      )}
    </>
  );
}

/** What the list would do, in counts that add up to its rows. */
function Counts(props: { list: DueList }) {
  const { counts, taken } = props.list;
  const order = Object.keys(words.intake.actions);
  const known = Object.entries(counts).filter(([, n]) => n > 0).sort(([a], [b]) => order.indexOf(a) - order.indexOf(b));
  return (
    <section aria-label={words.intake.counts}>
      <h2>{taken ? words.intake.did : words.intake.counts}</h2>
      <dl class="pairs">{known.map(([action, n]) => <><dt class="num">{n}</dt><dd>{words.intake.actions[action] ?? action}</dd></>)}</dl>
    </section>
  );
}

/** Which column is read as what, with examples, and the way to change it. */
function Columns(props: { list: DueList; act: (action: () => Promise<DueList>) => void }) {
  const { list, act } = props;
  const columns = list.columns ?? [];
  const [mapping, setMapping] = useState<Record<string, string>>(() => Object.fromEntries(columns.map((c) => [String(c.index), c.field ?? ""])));
  const [order, setOrder] = useState(list.date_order ?? "");
  return (
    <section>
      <h2>{words.intake.columns}</h2>
      <div class="scroll" tabIndex={0} role="region" aria-label={words.intake.columns}>
        <table>
          <thead><tr><th scope="col">{words.intake.column}</th><th scope="col">{words.intake.samples}</th><th scope="col">{words.intake.readAs}</th><th scope="col">{words.intake.sure}</th></tr></thead>
          <tbody>
            {columns.map((c) => (
              <tr key={c.index}>
                <th scope="row">{c.header || words.intake.columnNumber(c.index)}</th>
                <td class="soft">{(c.samples ?? []).slice(0, 3).join(" · ")}</td>
                <td>
                  <select aria-label={words.intake.readAsOf(c.header)} value={mapping[c.index] ?? ""} onChange={(event) => setMapping({ ...mapping, [c.index]: event.currentTarget.value })}>
                    <option value="">{words.intake.notRead}</option>
                    {(list.fields ?? []).map((f) => <option key={f.key} value={f.key}>{f.name}</option>)}
                  </select>
                </td>
                <td class="small">{[c.sure, c.why].filter(Boolean).join(": ")}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </div>
      <div class="actions">
        <label class="field">{words.intake.dateOrder}
          <select value={order} onChange={(event) => setOrder(event.currentTarget.value as typeof order)}>
            <option value="">{words.intake.dateOrders.unknown}</option>
            <option value="month-first">{words.intake.dateOrders.month}</option>
            <option value="day-first">{words.intake.dateOrders.day}</option>
          </select>
        </label>
        <button type="button" onClick={() => act(() => api.mapList(list.id, mapping, order))}>{words.intake.readAgain}</button>
      </div>
    </section>
  );
}

function Rows(props: { list: DueList }) {
  const rows = props.list.rows ?? [];
  const [only, setOnly] = useState("");
  if (rows.length === 0) return null;
  const kinds = [...new Set(rows.map((r) => r.action))];
  const shown = rows.filter((r) => !only || r.action === only).slice(0, 100);
  return (
    <section>
      <h2>{words.intake.rows}</h2>
      <label class="field">{words.intake.only}
        <select value={only} onChange={(event) => setOnly(event.currentTarget.value)}>
          <option value="">{words.intake.all}</option>
          {kinds.map((k) => <option key={k} value={k}>{words.intake.actions[k] ?? k}</option>)}
        </select>
      </label>
      <div class="scroll" tabIndex={0} role="region" aria-label={words.intake.rows}>
        <table>
          <caption>{words.intake.showing(shown.length, rows.length)}</caption>
          <thead><tr><th scope="col" class="num">{words.intake.row}</th><th scope="col">{words.intake.number}</th><th scope="col">{words.intake.addressColumn}</th><th scope="col">{words.intake.due}</th><th scope="col">{words.intake.would}</th></tr></thead>
          <tbody>{shown.map((r) => (
            <tr key={r.row}><td class="num">{r.row}</td><td>{r.number}</td><td>{r.address}</td><td>{r.due && dayName(r.due, props.list.as_of)}</td><td><strong>{words.intake.short[r.action] ?? r.action}</strong> <span class="soft">{r.words}</span>{(r.differs ?? []).map((d) => <span key={d} class="facts warn">{d}</span>)}</td></tr>
          ))}</tbody>
        </table>
      </div>
    </section>
  );
}

function Faults(props: { title: string; faults: Fault[]; children?: preact.ComponentChildren }) {
  if (props.faults.length === 0) return null;
  return (
    <section>
      <h2>{props.title} ({props.faults.length})</h2>
      {props.children}
      <div class="scroll" tabIndex={0} role="region" aria-label={props.title}>
        <table>
          <thead><tr><th scope="col" class="num">{words.intake.row}</th><th scope="col">{words.intake.column}</th><th scope="col">{words.intake.value}</th><th scope="col">{words.intake.problem}</th><th scope="col">{words.intake.toDo}</th></tr></thead>
          <tbody>{props.faults.map((f, i) => (
            <tr key={i}><td class="num">{f.row || ""}</td><td>{f.column}</td><td>{f.value && <q>{f.value}</q>}</td><td>{f.problem}</td><td>{f.what_to_do}</td></tr>
          ))}</tbody>
        </table>
      </div>
    </section>
  );
}
