import { api } from "../api";
import { useLoaded, useStaying } from "../loaded";
import { address } from "../route";
import { dayName, daysLeft } from "../time";
import type { Expiries as ExpiriesData, Expiry } from "../types";
import { Empty, Shown } from "../ui/States";
import { words } from "../words";

const spans = [14, 45, 90, 180, 365];

/** What ends among what the crews work with, and the visits it would stop: #/expiries/DAYS. */
export function Expiries(props: { days: number }) {
  const loaded = useStaying(useLoaded(`expiries ${props.days}`, ["person", "gauge", "crew", "day", "assembly"], () => api.expiries(props.days)));
  return <Shown loaded={loaded}>{(data) => <ExpiriesPage data={data} asked={props.days} />}</Shown>;
}

/** How many have ended, how many end soon, and how many different visits they would stop. */
export function sums(rows: Expiry[]): { ended: number; soon: number; stopped: number } {
  const ended = rows.filter((row) => row.days_left < 0).length;
  const stopped = new Set(rows.flatMap((row) => (row.stops ?? []).map((s) => `${s.date} ${s.crew} ${s.site.id}`)));
  return { ended, soon: rows.length - ended, stopped: stopped.size };
}

export function ExpiriesPage(props: { data: ExpiriesData; /** so many days, which may still be read */ asked: number }) {
  const { asked } = props;
  const { today, days } = props.data;
  const rows = props.data.rows ?? [];
  const w = words.expiries;
  const { ended, soon, stopped } = sums(rows);
  return (
    <>
      <h1>{w.head(ended, soon, days, stopped)}</h1>
      <div class="actions">
        <label class="field">{w.ahead}
          <select value={asked} onChange={(event) => (location.hash = address("expiries", event.currentTarget.value))}>
            {[...new Set([...spans, asked])].sort((a, b) => a - b).map((n) => <option key={n} value={n}>{w.days(n)}</option>)}
          </select>
        </label>
      </div>
      {rows.length === 0 ? <Empty><p>{w.none}</p></Empty> : (
        <div class="scroll" tabIndex={0} role="region" aria-label={w.caption}>
          <table class="rows">
            <caption>{w.caption}</caption>
            <thead><tr>{Object.values(w.columns).map((c) => <th key={c} scope="col">{c}</th>)}</tr></thead>
            <tbody>{rows.map((row) => <Row key={`${row.what} ${row.id} ${row.purveyor ?? ""}`} row={row} today={today} />)}</tbody>
          </table>
        </div>
      )}
    </>
  );
}

function Row(props: { row: Expiry; today: string }) {
  const { row, today } = props;
  const w = words.expiries;
  const stops = row.stops ?? [];
  const ahead = row.ahead ?? [];
  return (
    <tr>
      <td><strong class={row.days_left < 0 ? "warn" : undefined}>{row.days_left < 0 ? w.ended(row.days_left) : row.days_left === 0 ? w.endsToday : daysLeft(row.days_left)}</strong></td>
      <td>{row.name}<span class="facts">{[row.purveyor && w.with(row.purveyor), row.number && w.number(row.number)].filter(Boolean).join(", ")}</span></td>
      <td><a href={address("records", row.what === "gauge" ? "gauges" : "people", row.id)}>{row.holder}</a></td>
      <td>{(row.crews ?? []).join(", ") || w.noCrew}</td>
      <td>{dayName(row.last_day, today)}</td>
      <td>
        {stops.length + ahead.length === 0 && <span class="soft">{w.noStops}</span>}
        {stops.length > 0 && (
          <ul class="plain">{stops.map((s) => (
            <li key={`${s.date} ${s.crew} ${s.site.id}`}><a href={address("tomorrow", s.date)}>{dayName(s.date, today)}</a>: {w.stop(s.crew, s.site.name)}<span class="facts">{[s.how === "proposed" && w.proposed, ...(s.jobs ?? [])].filter(Boolean).join("; ")}</span></li>
          ))}</ul>
        )}
        {ahead.length > 0 && (
          <details>
            <summary>{w.falling(ahead.length)}</summary>
            <ul class="plain">{ahead.map((j) => <li key={j.job}>{w.dueAhead(dayName(j.due, today), j.site.name)}<span class="facts">{j.job}</span></li>)}</ul>
          </details>
        )}
      </td>
    </tr>
  );
}
