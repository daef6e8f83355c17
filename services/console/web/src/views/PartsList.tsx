import type { JSX } from "preact";
import { useId, useState } from "preact/hooks";
import { partRequest, placesOf, type PartFact } from "../parts";
import type { PartState } from "../types";
import { words } from "../words";
import type { Recording } from "./BacklogActions";

/** The repair kits a failed job waits for, each with how far it has come and the next thing to record. */
export function PartsList(props: Recording) {
  const { row, record, office } = props;
  const w = words.parts;
  const states = row.part_states ?? [];
  const of = { assembly: row.assembly, job: row.job };
  const [code, setCode] = useState("");
  const [where, setWhere] = useState("shop");
  const codes = useId();
  const want = (event: Event) => {
    event.preventDefault();
    record({ kind: "want-parts", ...of, parts: [...(row.parts ?? []), { code: code.trim() }] });
  };
  return (
    <section aria-label={w.title}>
      <h2 class="tight">{w.title}</h2>
      {states.length === 0 ? <p class="small">{w.none}</p> : (
        <ol class="parts">
          {states.map((part) => (
            <li key={`${part.nth} ${part.step}`}>
              {part.words}{part.late && <strong class="warn">, {w.late}</strong>}
              <NextStep {...props} part={part} />
            </li>
          ))}
        </ol>
      )}
      <form class="actions" onSubmit={want}>
        <label class="field">{w.more}<input value={code} required list={codes} onInput={(event) => setCode(event.currentTarget.value)} /></label>
        <datalist id={codes}>{(row.kit_codes ?? []).map((c) => <option key={c} value={c} />)}</datalist>
        <button type="submit">{states.length === 0 ? w.first : w.add}</button>
      </form>
      {(states.length === 0 || states.some((p) => p.step !== "reserved")) && (
        <form class="actions" onSubmit={(event) => { event.preventDefault(); record({ kind: "ready-parts", ...of, where }); }}>
          <label class="field">{words.backlog.where}
            <select value={where} onChange={(event) => setWhere(event.currentTarget.value)}>{placesOf(office.crews ?? [], undefined).map(({ id, text }) => <option key={id} value={id}>{text}</option>)}</select>
          </label>
          <button type="submit">{words.backlog.recordReady}</button>
        </form>
      )}
    </section>
  );
}

/** The next thing to record about a part: a kit that lies free is set aside at once; one that came may be the wrong one. */
function NextStep(props: Recording & { part: PartState }) {
  const { row, office, part, record } = props;
  const w = words.parts;
  const [supplier, setSupplier] = useState("");
  const [number, setNumber] = useState("");
  const [promised, setPromised] = useState("");
  const [where, setWhere] = useState(part.where || "shop");
  const [wrong, setWrong] = useState(false);
  const [why, setWhy] = useState("");
  const kits = part.kits ?? [];
  const [kit, setKit] = useState(kits[0]?.id ?? "");
  const coming = part.coming ?? [];
  const [came, setCame] = useState("");
  const send = (fact: PartFact) => (event: Event) => { event.preventDefault(); record(partRequest(row, part, fact)); };
  const button = (text: string) => <button type="submit" aria-label={w.askOf(text, part.code, part.nth)}>{text}</button>;
  const place = (
    <label class="field">{w.whereNow}
      <select value={where} onChange={(event) => setWhere(event.currentTarget.value)}>{placesOf(office.crews ?? [], part.where).map(({ id, text }) => <option key={id} value={id}>{text}</option>)}</select>
    </label>
  );
  const promise = (
    <form class="actions" onSubmit={send({ kind: "promise-parts", date: promised })}>
      <label class="field">{w.promisedFor}<input type="date" value={promised} min={office.today} required onInput={(event) => setPromised(event.currentTarget.value)} /></label>
      {button(part.step === "promised" ? w.promiseAgain : w.promise)}
    </form>
  );
  // A kit on record as on its way keeps its record when it comes; any other is entered then.
  const receive = (
    <form class="actions" onSubmit={send({ kind: "receive-part", where, ...(came && { item: came }) })}>
      {coming.length > 0 && <label class="field">{w.which}<select value={came} onChange={(event) => setCame(event.currentTarget.value)}><option value="">{w.notOnRecord}</option>{coming.map((k) => <option key={k.id} value={k.id}>{k.id}</option>)}</select></label>}
      {place}{button(w.receive)}
    </form>
  );
  const steps: Record<PartState["step"], () => JSX.Element> = {
    needed: () => (
      <form class="actions" onSubmit={send({ kind: "order-parts", supplier: supplier.trim(), order_number: number.trim(), date: office.today })}>
        <label class="field">{w.supplier}<input value={supplier} required onInput={(event) => setSupplier(event.currentTarget.value)} /></label>
        <label class="field">{w.number}<input value={number} onInput={(event) => setNumber(event.currentTarget.value)} /></label>
        {button(w.order)}
      </form>
    ),
    ordered: () => <>{promise}{receive}</>,
    promised: () => <>{receive}{part.late && promise}</>,
    received: () => <form class="actions" onSubmit={send({ kind: "reserve-part" })}>{button(w.reserve)}</form>,
    reserved: () => <form class="actions" onSubmit={send({ kind: "load-part", where })}>{place}{button(w.load)}</form>,
  };
  return (
    <>
      {kits.length > 0 && (
        <form class="actions" onSubmit={send({ kind: "reserve-part", item: kit })}>
          <label class="field">{w.free}<select value={kit} onChange={(event) => setKit(event.currentTarget.value)}>{kits.map((k) => <option key={k.id} value={k.id}>{`${k.id}, ${k.where}`}</option>)}</select></label>
          {button(w.reserveFree)}
        </form>
      )}
      {steps[part.step]()}
      {(part.step === "received" || part.step === "reserved") && (
        <>
          <button type="button" class="text" aria-expanded={wrong} aria-label={w.askOf(w.wrong, part.code, part.nth)} onClick={() => setWrong(!wrong)}>{w.wrong}</button>
          {wrong && (
            <form class="actions" onSubmit={send({ kind: "wrong-part", words: why.trim() })}>
              <label class="field">{w.wrongWhy}<input value={why} required onInput={(event) => setWhy(event.currentTarget.value)} /></label>
              {button(w.recordWrong)}
            </form>
          )}
        </>
      )}
    </>
  );
}
