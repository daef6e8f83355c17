import { trust as w } from "../signinwords";
import { dayName } from "../time";
import type { Trust } from "../types";

/** How a phone or browser is told to trust the office's own certificate, and what to compare first. */
export function TrustPage(props: { data: Trust }) {
  const { data } = props;
  if (!data.own) return <><h1>{w.title}</h1><p>{w.none}</p></>;
  return (
    <>
      <h1>{w.title}</h1>
      <p>{w.lead}</p>
      <h2>{w.compareTitle}</h2>
      <p>{w.compare}</p>
      <dl class="trust">
        <dt>{w.fingerprint}</dt><dd class="code">{data.fingerprint}</dd>
        <dt>{w.listedAs}</dt><dd>{data.name}</dd>
        <dt>{w.until}</dt><dd>{data.until && dayName(data.until.slice(0, 10), new Date().toISOString())}</dd>
        <dt>{w.names}</dt><dd>{(data.names ?? []).join(", ")}</dd>
      </dl>
      <h2>{w.installTitle}</h2>
      <p class="actions"><a class="button" href="/api/trust/authority.crt" download="authority.crt">{w.download}</a> <a class="button" href="/api/trust/authority.pem" download="authority.pem">{w.downloadText}</a></p>
      {w.platforms.map(([platform, steps]) => (
        <section key={platform}>
          <h3>{platform}</h3>
          <ol>{steps.map((s) => <li key={s}>{s}</li>)}</ol>
        </section>
      ))}
      <p class="hint">{w.practice}</p>
      <h2>{w.thenTitle}</h2>
      <p>{w.then}</p>
    </>
  );
}
