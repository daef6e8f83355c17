import { useState } from "preact/hooks";
import { api, Refusal } from "../api";
import { useLoaded } from "../loaded";
import type { Unfilled, UnfilledCustomer, UnfilledFeed } from "../types";
import { Refused, Shown } from "../ui/States";
import { words } from "../words";

type Said = { done: string; refused: string[] };

/** Feeds left shut, drained or not known to hold water: recorded as filled with one tap, for as many as one call was about. */
export function FillFeeds(props: { customer?: string; site?: string; lead?: boolean }) {
  const { customer, site } = props;
  const of = { ...(customer && { customer }), ...(site && { site }) };
  const loaded = useLoaded(`unfilled ${customer ?? ""} ${site ?? ""}`, ["feed", "site", "assembly", "customer"], () => api.unfilled(of));
  const [said, setSaid] = useState<Said>({ done: "", refused: [] });
  const record = (feeds: string[], by: string) =>
    api.filled(feeds, by).then(
      (receipt) => { setSaid({ done: words.fill.done(receipt.filled), refused: receipt.refused ?? [] }); loaded.again(); },
      (error: unknown) => setSaid({ done: "", refused: error instanceof Refusal ? error.sentences : [String(error)] }),
    );
  return <Shown loaded={loaded}>{(data) => <FillFeedsList data={data} said={said} record={record} bare={!props.lead} />}</Shown>;
}

/** `bare`: nothing is said where nothing is to be filled. */
export function FillFeedsList(props: { data: Unfilled; said: Said; record: (feeds: string[], by: string) => void; bare?: boolean; open?: string }) {
  const w = words.fill;
  const customers = props.data.customers ?? [];
  if (customers.length === 0 && props.bare && !props.said.done && props.said.refused.length === 0) return null;
  return (
    <section>
      <h2>{w.title}</h2>
      <p role="status" class={props.said.done ? "said" : undefined}>{props.said.done}</p>
      {props.said.refused.length > 0 && <Refused title={words.states.refused} sentences={props.said.refused} />}
      {customers.length === 0 ? <p>{w.none}</p> : <p class="small">{w.lead}</p>}
      <ul class="plain fill">{customers.map((c) => <Customer key={c.id ?? ""} customer={c} record={props.record} open={props.open === c.id} />)}</ul>
    </section>
  );
}

function Customer(props: { customer: UnfilledCustomer; record: (feeds: string[], by: string) => void; open: boolean }) {
  const { customer } = props;
  const w = words.fill;
  const feeds = customer.feeds ?? [];
  const [open, setOpen] = useState(props.open);
  const [not, setNot] = useState<string[]>([]);
  const [by, setBy] = useState("");
  const chosen = feeds.filter((f) => !not.includes(f.feed));
  const record = (event: Event) => {
    event.preventDefault();
    props.record(chosen.map((f) => f.feed), by.trim());
    setOpen(false);
    document.getElementById("page")?.focus();
  };
  return (
    <li>
      <div class="actions">
        <strong>{customer.name}</strong>
        <span class="soft">{w.counts(feeds.length, feeds.reduce((sum, f) => sum + f.jobs, 0))}</span>
        <button type="button" aria-expanded={open} aria-label={w.openOf(customer.name)} onClick={() => setOpen(!open)}>{w.open}</button>
      </div>
      {open && (
        <form class="panel" onSubmit={record} onKeyDown={(event) => event.key === "Escape" && setOpen(false)}>
          <fieldset class="tall">
            <legend>{w.which}</legend>
            {feeds.map((f) => (
              <label key={f.feed} class="choice">
                <input type="checkbox" checked={!not.includes(f.feed)} onChange={(event) => setNot(event.currentTarget.checked ? not.filter((x) => x !== f.feed) : [...not, f.feed])} />
                {feedLine(f)}
              </label>
            ))}
          </fieldset>
          <div class="actions">
            <label class="field">{w.by}<input value={by} required onInput={(event) => setBy(event.currentTarget.value)} /></label>
            <button type="submit" class="main" disabled={chosen.length === 0}>{w.record(chosen.length)}</button>
          </div>
        </form>
      )}
    </li>
  );
}

/** "Park 2 Orchard Way: irrigation, drained; 1 test waits". */
export const feedLine = (f: UnfilledFeed) => words.fill.line(f.site.name, f.name, f.why, f.jobs);
