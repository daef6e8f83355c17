import { useState } from "preact/hooks";
import { api, Refusal } from "../api";
import { useLoaded } from "../loaded";
import { address } from "../route";
import type { PositionsRead, Unplaced } from "../types";
import { Refused, Shown } from "../ui/States";
import { words } from "../words";

/** Sites that want a surer position, and a file of address points to find them by: #/records/positions. */
export function Positions() {
  const loaded = useLoaded("positions", ["site"], api.unplaced);
  return <Shown loaded={loaded}>{(data) => <PositionsPage data={data} again={loaded.again} />}</Shown>;
}

export function PositionsPage(props: { data: Unplaced; again: () => void }) {
  const { data } = props;
  const w = words.records.places;
  const [file, setFile] = useState<File | null>(null);
  const [read, setRead] = useState<PositionsRead | null>(null);
  const [refused, setRefused] = useState<string[] | null>(null);
  const [said, setSaid] = useState<string | null>(null);
  const failed = (error: unknown) => setRefused(error instanceof Refusal ? error.sentences : [String(error)]);
  const submit = (event: Event) => {
    event.preventDefault();
    setRefused(null);
    setSaid(null);
    if (file) api.readPositions(file).then(setRead, failed);
  };
  const take = (chosen: PositionsRead["proposals"]) => {
    setRefused(null);
    api.takePositions((chosen ?? []).flatMap((p) => (p.at ? [{ site: p.site.id, lat: p.at.lat, lon: p.at.lon, source: p.source as "surveyed", words: p.text ?? p.words }] : []))).then(
      (taken) => {
        setSaid(w.taken(taken.taken, taken.unchanged));
        setRefused((taken.refused ?? []).length > 0 ? taken.refused!.map((r) => `${r.site}: ${r.words}`) : null);
        setRead(null);
        props.again();
      }, failed);
  };
  return (
    <>
      <h1>{w.head(data.missing, data.unsure)}</h1>
      <p>{w.lead}</p>
      {refused && <Refused title={words.states.refused} sentences={refused} />}
      {said && <p class="said" role="status">{said}</p>}
      <form class="actions" onSubmit={submit}>
        <label class="field">{w.file}<input type="file" accept=".csv,.txt,.xlsx" required onChange={(event) => setFile(event.currentTarget.files?.[0] ?? null)} /></label>
        <button type="submit">{w.read}</button>
      </form>
      {read && <Proposals key={read.file} read={read} take={take} />}
      <h2>{w.wanted}</h2>
      <ul class="plain">
        {(data.sites ?? []).map((site) => (
          <li key={site.id}><a href={address("records", "sites", site.id)}>{site.name}</a>
            <span class="facts">{[site.address, site.position ? words.records.values.position_source![site.position_source ?? ""] : words.records.noPosition].filter(Boolean).join(" · ")}</span></li>
        ))}
      </ul>
    </>
  );
}

/** What a file says about where sites are, with how sure the match is; only what is ticked is taken. */
function Proposals(props: { read: PositionsRead; take: (chosen: PositionsRead["proposals"]) => void }) {
  const { read } = props;
  const w = words.records.places;
  const found = (read.proposals ?? []).filter((p) => p.at);
  const none = (read.proposals ?? []).length - found.length;
  const [chosen, setChosen] = useState(() => new Set(found.filter((p) => p.sure === "sure" || p.sure === "likely").map((p) => p.site.id)));
  const tick = (id: string, on: boolean) => setChosen((old) => { const next = new Set(old); if (on) next.add(id); else next.delete(id); return next; });
  return (
    <section>
      <h2>{w.proposals(read.file)}</h2>
      <p>{w.rows(read.rows, read.faulty, words.records.values.position_source![read.source] ?? read.source)}{none > 0 && ` ${w.notFound(none)}`}</p>
      {(read.faults ?? []).length > 0 && <ul>{read.faults!.map((f) => <li key={`${f.row} ${f.problem}`}>{w.fault(f.row, f.column ?? "", f.problem)}</li>)}</ul>}
      {found.length > 0 && (
        <>
          <div class="scroll" tabIndex={0} role="region" aria-label={w.proposals(read.file)}>
            <table class="records-table">
              <caption class="hidden-text">{w.proposals(read.file)}</caption>
              <thead><tr>{w.columns.map((c) => <th key={c} scope="col">{c}</th>)}</tr></thead>
              <tbody>
                {found.map((p) => (
                  <tr key={p.site.id}>
                    <td><label class="check"><input type="checkbox" checked={chosen.has(p.site.id)} onChange={(event) => tick(p.site.id, event.currentTarget.checked)} /><span class="hidden-text">{w.takeIt(p.site.name)}</span></label></td>
                    <th scope="row">{p.site.name}<span class="facts">{p.site.address}</span></th>
                    <td>{p.text}{p.row ? <span class="facts">{w.row(p.row)}</span> : null}</td>
                    <td><strong>{w.sure[p.sure]}</strong><span class="facts">{p.words}</span></td>
                  </tr>
                ))}
              </tbody>
            </table>
          </div>
          <div class="actions"><button type="button" class="main" disabled={chosen.size === 0} onClick={() => props.take(found.filter((p) => chosen.has(p.site.id)))}>{w.take(chosen.size)}</button></div>
        </>
      )}
    </section>
  );
}
