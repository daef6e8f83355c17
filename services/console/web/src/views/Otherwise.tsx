import { useState } from "preact/hooks";
import { api, Refusal } from "../api";
import { useLoaded } from "../loaded";
import { address } from "../route";
import { clock, dayName, sentence } from "../time";
import type { Day, Office, Otherwise, Supposed } from "../types";
import { crewTitle } from "../ui/crewtitle";
import { Refused, Shown } from "../ui/States";
import { words } from "../words";
import { ComparePicture } from "./ComparePicture";
import { Supposing } from "./Supposing";
import { money } from "./money";

const w = words.otherwise;

/** What a page can be doing with the difference: asking for it, showing it, or having sent it out. */
export interface Asked { asking: boolean; data: Otherwise | null; refused: string[] | null; sent: boolean }

/** A day as it stands beside the same day as it would be. */
export function OtherwiseView(props: { office: Office; date: string }) {
  const { office, date } = props;
  const loaded = useLoaded(`day ${date}`, ["day", "crew"], () => api.day(date), date);
  const [asked, setAsked] = useState<Asked>({ asking: false, data: null, refused: null, sent: false });
  const ask = (question: () => Promise<Otherwise>) => {
    setAsked({ asking: true, data: null, refused: null, sent: false });
    question().then((data) => setAsked({ asking: false, data, refused: null, sent: false }), (error: unknown) => setAsked({ asking: false, data: null, refused: said(error), sent: false }));
  };
  const send = (digest: string, why: string) => {
    api.sendRest(date, digest, why).then(
      (day) => { loaded.show(day); setAsked({ asking: false, data: null, refused: null, sent: true }); },
      (error: unknown) => setAsked((now) => ({ ...now, refused: said(error) })),
    );
  };
  return (
    <Shown loaded={loaded}>
      {(day) => <OtherwisePage day={day} office={office} asked={asked} suppose={(list) => ask(() => api.suppose(date, list))} rest={() => ask(() => api.planRest(date))} send={send} />}
    </Shown>
  );
}

const said = (error: unknown) => (error instanceof Refusal ? error.sentences : [String(error)]);

/** The page itself, fed with a day and what was asked: pure, so that the storybook can show every state. */
export function OtherwisePage(props: {
  day: Day;
  office: Office;
  asked: Asked;
  suppose: (list: Supposed[]) => void;
  rest: () => void;
  send: (digest: string, why: string) => void;
}) {
  const { day, office, asked } = props;
  const out = day.status === "sent-out";
  return (
    <>
      <nav class="actions" aria-label={words.tomorrow.dates}><a href={address("tomorrow", day.date)}>{w.back}</a></nav>
      <h1>{w.title(dayName(day.date, office.today))}</h1>
      {out && (
        <section>
          <p class="soft">{w.restLead}</p>
          <div class="actions"><button type="button" class="main" disabled={asked.asking} onClick={props.rest}>{w.rest}</button></div>
        </section>
      )}
      <Supposing day={day} busy={asked.asking} ask={props.suppose} />
      <div role="status">
        {asked.asking && <p>{w.asking}</p>}
        {asked.sent && <p class="said">{w.sent}</p>}
        {!asked.asking && !asked.sent && !asked.data && !asked.refused && <p class="soft">{w.nothingSaid}</p>}
      </div>
      {asked.refused && <Refused title={words.states.refused} sentences={asked.refused} />}
      {asked.data && <Difference data={asked.data} day={day} send={props.send} />}
    </>
  );
}

function Difference(props: { data: Otherwise; day: Day; send: (digest: string, why: string) => void }) {
  const { data, day } = props;
  const begun = data.begun ?? [];
  const nameOf = (id: string) => { const crew = (day.crews ?? []).find((c) => c.id === id); return crew ? `${crew.letter} ${crewTitle(crew)}` : id; };
  return (
    <>
      {(data.suppose ?? []).length > 0 && <p>{w.supposing} {(data.suppose ?? []).map(sentence).join(" ")}</p>}
      <p><strong>{(data.moves ?? []).length === 0 && data.moved === 0 ? w.same : w.line(data.moved, data.drive_minutes, data.route_minutes, money(data.total_usd))}</strong></p>
      {(data.refusals ?? []).length > 0 && <Refused title={w.refused} sentences={data.refusals!.map((r) => r.words)} />}
      <Sending data={data} out={day.status === "sent-out"} send={props.send} />
      <ComparePicture data={data} zone={day.zone} begunUntil={new Map(begun.map((b) => [b.crew, b.free]))} />
      {(data.moves ?? []).length > 0 && <Moves data={data} zone={day.zone} />}
      {begun.length > 0 && (
        <section>
          <h2>{w.begun}</h2>
          <ul>{begun.map((b) => <li key={b.crew}>{w.begunLine(nameOf(b.crew), b.visits, b.site.name, clock(b.free, day.zone))}{b.unheard && <> <strong>{w.unheard}</strong></>}</li>)}</ul>
        </section>
      )}
      <h2>{w.money}</h2>
      <dl class="pairs">{(data.costs ?? []).map((cost) => <><dt>{cost.name}</dt><dd>{money(cost.usd)}</dd></>)}</dl>
    </>
  );
}

/** What is to be sent out can only be a plan of the rest of the day that was just seen. */
function Sending(props: { data: Otherwise; out: boolean; send: (digest: string, why: string) => void }) {
  const { data } = props;
  const [why, setWhy] = useState("");
  if (!props.out) return null;
  if ((data.suppose ?? []).length > 0) return <p class="soft">{w.supposedOnly}</p>;
  if (!data.digest) return <p class="soft">{w.keep}</p>;
  return (
    <form class="actions" onSubmit={(event) => { event.preventDefault(); props.send(data.digest!, why.trim()); }}>
      <label class="field">{w.why}<input value={why} required onInput={(event) => setWhy(event.currentTarget.value)} /></label>
      <button type="submit" class="main">{w.send(data.amends ?? 0)}</button>
    </form>
  );
}

function Moves(props: { data: Otherwise; zone: string }) {
  const { data, zone } = props;
  return (
    <>
      <h2>{w.moves}</h2>
      <div class="scroll" tabIndex={0} role="region" aria-label={w.moves}>
        <table>
          <thead><tr><th scope="col">{w.columns.site}</th><th scope="col">{w.columns.how}</th><th scope="col">{w.columns.was}</th><th scope="col">{w.columns.is}</th><th scope="col">{w.columns.later}</th><th scope="col">{w.columns.usd}</th></tr></thead>
          <tbody>
            {(data.moves ?? []).map((move, i) => (
              <tr key={`${move.site.id} ${i}`}>
                <th scope="row">{move.site.name}</th>
                <td>{move.how}{move.why && <span class="facts">{sentence(move.why)}</span>}</td>
                <td>{move.from ? w.seat(move.from.crew, clock(move.from.arrive, zone)) : ""}</td>
                <td>{move.to ? w.seat(move.to.crew, clock(move.to.arrive, zone)) : ""}</td>
                <td class="number">{w.later(move.later_minutes ?? 0)}</td>
                <td class="number">{move.usd === 0 ? "" : money(move.usd)}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </div>
    </>
  );
}
